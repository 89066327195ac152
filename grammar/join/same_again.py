""" "Same again on the other side": what was said for one foot is said once more for another."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.join.cursor import back, foot_start, get, past
from grammar.join.replacing import half_foot
from grammar.pieces import (
    CLAWS,
    FEET,
    FINDINGS,
    LINKS,
    MODIFIERS,
    ActionSaid,
    Again,
    Claw,
    Course,
    Filler,
    FollowUpSaid,
    Leftover,
    Lesion,
    Material,
    MeasureSaid,
    No,
    Not,
    Number,
    On,
    OtherFeet,
    Piece,
    Score,
    Stage,
    StatusSaid,
    TimeSaid,
    With,
    is_side,
    turned,
)
from grammar.records import How

__all__ = ["copy_again", "spread_lists"]

_NOT_COPIED = (
    *FEET, FollowUpSaid, TimeSaid, StatusSaid, Score, MeasureSaid, Again, Number, Leftover, Course,
)  # fmt: skip
_OF_ACTIONS = (ActionSaid, Material, On, With)
_TOO = frozenset({"too", "as well", "also", "likewise"})
_TAKES_UP = (Lesion, Stage, No, Not, Again, *CLAWS)
"""What says something of its own of the foot before it."""


def spread_lists(pieces: Sequence[Piece]) -> list[Piece]:
    """ "sole ulcer outer left hind and outer right hind": one lesion, two sites joined by "and".

    Only where the lesion was said first and nothing else is said of the second site.
    """
    result: list[Piece] = []
    lesion_first = False
    feet = 0
    for at, piece in enumerate(pieces):
        result.append(piece)
        if isinstance(piece, Lesion):
            lesion_first = not feet
        if not isinstance(piece, FEET):
            continue
        feet += 1
        if not (lesion_first and feet > 1):
            continue
        if _listed(pieces, at) and (copied := _last_lesion(result)):
            result += copied
    return result


def _listed(pieces: Sequence[Piece], at: int) -> bool:
    """Whether a foot is the second of a list, with a claw of its own, and ends it."""
    joint = back(pieces, at - 1, CLAWS)
    word = get(pieces, joint)
    listed = joint < at - 1 and isinstance(word, Filler) and word.value == "and"
    return listed and not isinstance(get(pieces, past(pieces, at + 1, LINKS)), _TAKES_UP)


def _last_lesion(said: Sequence[Piece]) -> list[Piece]:
    for piece in reversed(said):
        if isinstance(piece, Lesion):
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
        if is_side(piece) and isinstance(get(pieces, past(pieces, at + 1, LINKS)), Again):
            piece = half_foot(piece)  # "left the same"
        if _is_too(pieces, at, result):
            piece = turned(piece, Again, value=piece.heard)
        if _is_other_too(pieces, at) and (copied := _copy(result, [piece])):
            where = (piece.first, piece.last)
            result += [piece, *copied]
            at += 1
            continue
        if not isinstance(piece, Again):
            result.append(piece)
            at += 1
            continue
        site, after = _site_after(pieces, at + 1)
        copied = _copy(result, site)
        if "claw" in piece.heard:  # "ulcer … the same claw on the right hind": what is said of it?
            if isinstance(get(pieces, after), (*_TAKES_UP, ActionSaid)):
                copied = [one for one in copied if isinstance(one, CLAWS)]
            if isinstance(get(result, back(result, len(result) - 1, LINKS)), ActionSaid):
                copied = []  # "block the same claw on the right hind"
        if copied:
            where = (piece.first, piece.last)
            result += [*site, *copied]
            at = after
        else:
            result.append(turned(piece, Filler, value=piece.heard))
            at += 1
    return result, where


def _is_other_too(pieces: Sequence[Piece], at: int) -> bool:
    """ "left hind outer ulcer and the other hind": said of the other too, if of nothing else."""
    piece = pieces[at]
    if not isinstance(piece, OtherFeet) or piece.value != "across":
        return False
    joint = pieces[back(pieces, at - 1, LINKS) + 1 : at]
    joined = any(isinstance(one, Filler) and one.value == "and" for one in joint)
    after = get(pieces, past(pieces, at + 1, LINKS))
    return joined and not isinstance(after, (*_TAKES_UP, *MODIFIERS, ActionSaid))


def _is_too(pieces: Sequence[Piece], at: int, said: Sequence[Piece]) -> bool:
    """ "Toe ulcer outer, and the left front too": a foot joined by "and" of which no more is said."""
    if not isinstance(pieces[at], Filler) or pieces[at].heard not in _TOO:
        return False
    foot = back(said, len(said) - 1, (Claw,))
    if not isinstance(get(said, foot), FEET):
        return False
    joint = said[back(said, foot - 1, LINKS) + 1 : foot]
    joined = any(isinstance(one, Filler) and one.value == "and" for one in joint)
    after = get(pieces, past(pieces, at + 1, LINKS))
    return joined and not isinstance(after, (*_TAKES_UP, *MODIFIERS))


def _site_after(pieces: Sequence[Piece], at: int) -> tuple[list[Piece], int]:
    """Return the foot and claw said right after, and where the note goes on."""
    site: list[Piece] = []
    after = at
    while at < len(pieces):
        piece = pieces[at]
        if isinstance(piece, Claw) and piece.of_both_feet:
            break  # "same on the other side, both inners blocked"
        if isinstance(piece, FEET + CLAWS):
            site.append(pieces[at])
            after = at + 1
        elif not isinstance(pieces[at], LINKS):
            break
        at += 1
    return site, after


def _copy(said: Sequence[Piece], site: Sequence[Piece]) -> list[Piece]:
    """Return copies of the last foot's part, with its claw unless another one is named."""
    end = len(said) if site else _before_dangling_foot(said)
    if end is None:
        return []
    foot_part = said[foot_start(said, end) : end]
    part = [piece for piece in foot_part if not isinstance(piece, _NOT_COPIED)]
    if not any(isinstance(piece, (*FINDINGS, ActionSaid, Stage)) for piece in part):
        return []
    if any(isinstance(piece, CLAWS) for piece in site):
        part = [piece for piece in part if not isinstance(piece, _OF_ACTIONS + CLAWS)]
    return [
        piece if isinstance(piece, LINKS) else replace(piece, how=How.INFERRED, corrections=())
        for piece in part
    ]


def _before_dangling_foot(said: Sequence[Piece]) -> int | None:
    """Return where the last foot stands if nothing was said for it yet."""
    last = back(said, len(said) - 1, LINKS)
    return last if isinstance(get(said, last), FEET) else None
