""" "Same again on the other side": what was said for one foot is said once more for another."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.join.pieces import CLAW_KINDS, FOOT_KINDS, LINKS, Piece
from grammar.records import How

__all__ = ["copy_again", "spread_lists"]

_NOT_COPIED = FOOT_KINDS | {
    "followup", "when", "status", "locomotion", "measure", "again", "num", "other", "course",
}  # fmt: skip

_OF_ACTIONS = frozenset({"action", "material", "on", "with"})


def spread_lists(pieces: Sequence[Piece]) -> list[Piece]:
    """ "sole ulcer outer left hind and outer right hind": one lesion, two sites joined by "and".

    Only where the lesion was said first and nothing else is said of the second site.
    """
    result: list[Piece] = []
    lesion_first = False
    feet = 0
    for at, piece in enumerate(pieces):
        result.append(piece)
        if piece.kind == "lesion":
            lesion_first = not feet
        feet += piece.kind in FOOT_KINDS
        if not (lesion_first and feet > 1 and piece.kind in FOOT_KINDS):
            continue
        if _listed(pieces, at) and (copied := _last_lesion(result)):
            result += copied
    return result


def _listed(pieces: Sequence[Piece], at: int) -> bool:
    """Whether a foot is the second of a list, with a claw of its own, and ends it."""
    before = at - 1
    claw = False
    while before >= 0 and pieces[before].kind in CLAW_KINDS:
        claw, before = True, before - 1
    after = next((p for p in pieces[at + 1 :] if p.kind not in LINKS), None)
    ends = after is None or after.kind not in {"lesion", "stage", "no", "not", *CLAW_KINDS, "again"}
    return claw and ends and before >= 0 and pieces[before].value == "and"


def _last_lesion(said: Sequence[Piece]) -> list[Piece]:
    for piece in reversed(said):
        if piece.kind == "lesion":
            return [replace(piece, how=How.INFERRED, corrections=())]
    return []


def copy_again(pieces: Sequence[Piece]) -> tuple[list[Piece], tuple[int, int] | None]:
    """Replace "same again" by what it repeats; return the pieces and where it was said.

    The words after it name the foot or claw ("same on the right hind"); where the foot stands
    before it ("right hind the same"), the part before that foot is repeated.  "Same" that repeats
    nothing stays as it is, a filler.
    """
    result: list[Piece] = []
    where: tuple[int, int] | None = None
    at = 0
    while at < len(pieces):
        piece = pieces[at]
        if piece.kind != "again":
            result.append(piece)
            at += 1
            continue
        site, after = _site_after(pieces, at + 1)
        copied = _copy(result, site)
        if copied:
            where = (piece.first, piece.last)
            result += [*site, *copied]
            at = after
        else:
            result.append(replace(piece, kind="fill"))
            at += 1
    return result, where


def _site_after(pieces: Sequence[Piece], at: int) -> tuple[list[Piece], int]:
    """Return the foot and claw said right after, and where the note goes on."""
    site: list[Piece] = []
    after = at
    while at < len(pieces):
        if pieces[at].kind in FOOT_KINDS | CLAW_KINDS:
            site.append(pieces[at])
            after = at + 1
        elif pieces[at].kind not in LINKS:
            break
        at += 1
    return site, after


def _copy(said: Sequence[Piece], site: Sequence[Piece]) -> list[Piece]:
    """Return copies of the last foot's part, with its claw unless another one is named."""
    end = len(said) if site else _before_dangling_foot(said)
    if end is None:
        return []
    start = end
    while start > 0 and said[start - 1].kind not in FOOT_KINDS:
        start -= 1
    part = [piece for piece in said[start:end] if piece.kind not in _NOT_COPIED]
    if not any(piece.kind in ("lesion", "object", "action", "stage") for piece in part):
        return []
    if any(piece.kind in CLAW_KINDS for piece in site):
        part = [piece for piece in part if piece.kind not in _OF_ACTIONS | CLAW_KINDS]
    return [
        piece if piece.kind in LINKS else replace(piece, how=How.INFERRED, corrections=())
        for piece in part
    ]


def _before_dangling_foot(said: Sequence[Piece]) -> int | None:
    """Return where the last foot stands if nothing was said for it yet."""
    for position in range(len(said) - 1, -1, -1):
        if said[position].kind in FOOT_KINDS:
            return position
        if said[position].kind not in LINKS:
            return None
    return None
