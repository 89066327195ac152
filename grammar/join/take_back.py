"""Scratch that: the last thing said is taken back."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.join.pieces import CLAW_KINDS, FOOT_KINDS, LINKS, Piece
from grammar.records import Correction

__all__ = ["HEADS", "SITES", "take_back"]

SITES = frozenset({"foot", "half", "footword", "claw", "clawword", "zone", "region"})
HEADS = frozenset({"lesion", "object", "action", "followup", "locomotion", "measure", "status"})


def take_back(kept: list[Piece], cue: Piece, ahead: Piece | None) -> None:
    """Take back the last finding, action or follow-up; else the last site or animal.

    ahead: what is said next; the sites of a finding taken back go too where new ones follow.
    """
    gone: list[Piece] = []
    whole = cue.kind == "scratch all"
    while kept:
        piece = kept[-1]
        if whole and piece.kind in ("animal", "next cow", "same cow"):
            break
        if piece.kind == "end of note":
            break
        kept.pop()
        gone.append(piece)
        if not whole and _enough(gone, kept):
            break
    if not whole and any(piece.kind in HEADS for piece in gone) and ahead is not None:
        gone += _sites_said_anew(kept, ahead)
    heard = " ".join(piece.heard for piece in reversed(gone) if piece.kind not in LINKS)
    if heard and kept:
        note = Correction(slot="scratch", was=heard, now="", first=cue.first, last=cue.last)
        kept[-1] = replace(kept[-1], corrections=(*kept[-1].corrections, note))


def _enough(gone: Sequence[Piece], kept: Sequence[Piece]) -> bool:
    last = gone[-1]
    before = _before(kept)
    if last.kind in HEADS:
        attached = before is not None and (
            (last.kind == "action" and before.kind == "material")
            or (
                last.kind in ("lesion", "object")
                and before.kind in ("severity", "stage", "not", "no")
            )
            or (last.kind == "object" and before.kind == "measure")
            or (last.kind == "lesion" and before.kind == "object")
        )
        return not attached
    if any(piece.kind in HEADS for piece in gone):
        return before is None or before.kind not in ("material", "severity", "stage")
    if last.kind in ("animal", "next cow", "same cow"):
        return True
    if before is None or before.kind in ("animal", "next cow", "same cow"):
        return last.kind not in LINKS
    sites_only = all(piece.kind in SITES | LINKS for piece in gone)
    linked = before.kind == "action" and last.kind in LINKS | {"claw", "clawword"}
    return (
        sites_only
        and last.kind in FOOT_KINDS
        and not linked
        and any(piece.kind in FOOT_KINDS for piece in kept)
    )


def _before(kept: Sequence[Piece]) -> Piece | None:
    for piece in reversed(kept):
        if piece.kind not in LINKS:
            return piece
    return None


def _sites_said_anew(kept: list[Piece], ahead: Piece) -> list[Piece]:
    """Take the sites left hanging off `kept`, those that what follows says anew.

    "Left rear wart, scratch that, right rear wart" would else be a wart on both.
    """
    kinds = CLAW_KINDS if ahead.kind in CLAW_KINDS else frozenset[str]()
    if ahead.kind in FOOT_KINDS:
        kinds = FOOT_KINDS | CLAW_KINDS
    gone: list[Piece] = []
    while kept and kept[-1].kind in kinds | (LINKS if kinds else frozenset()):
        gone.append(kept.pop())
    return gone
