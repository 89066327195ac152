"""A piece: one slot value as said, with its words, before it is attached to anything."""

from dataclasses import dataclass, replace
from typing import Any

from grammar.lexicon.schema import HalfRow
from grammar.records import Correction, How, Slot

__all__ = [
    "CLAW_KINDS",
    "COPULAS",
    "FOOT_KINDS",
    "LINKS",
    "MODIFIERS",
    "SIDES",
    "UNTAKEN",
    "Piece",
    "half_foot",
    "is_linked",
    "slot_of",
]

LINKS = frozenset({"fill", "on", "with"})
"""Pieces that only hold the others together."""
UNTAKEN = frozenset({"other", "num", "unit", "timeunit", "month", "ordinal", "weekday"})
"""Pieces that mean nothing alone."""
FOOT_KINDS = frozenset({"foot", "half", "footword"})
SIDES = {
    "left": "L",
    "near": "L",
    "nearside": "L",
    "right": "R",
    "off": "R",
    "offside": "R",
    "both": "",
}
"""Bare words that name the side of a foot."""
CLAW_KINDS = frozenset({"claw", "clawword"})
COPULAS = frozenset({"is", "was", "looks"})
"""What joins a foot to what is said of it."""
MODIFIERS = ("stage", "severity", "course", "tissue")
"""What qualifies a lesion and may stand before or after it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One slot value as said."""

    kind: str
    """foot, claw, zone, lesion, action, followup, when, animal, correction, fill, other …"""
    value: Any
    first: int
    last: int
    heard: str
    rule: str
    """The rule or lexicon row that took the words; empty where none did."""
    how: How = How.EXACT
    rejected: tuple[Any, ...] = ()
    """Other readings, best first, and values a correction replaced."""
    more: Any = None
    """What only this kind has: the scale of a score, the lexicon row of an action …"""
    corrections: tuple[Correction, ...] = ()
    """What this piece has replaced."""


def slot_of(piece: Piece, value: Any, how: How | None = None) -> Slot[Any]:
    """Make the slot of a piece."""
    return Slot(
        value=value, heard=piece.heard, first=piece.first, last=piece.last,
        how=how or piece.how, rejected=piece.rejected,
    )  # fmt: skip


def half_foot(piece: Piece) -> Piece:
    """Make half a foot of a bare "left" or "right"."""
    return replace(piece, kind="half", more=HalfRow(side=piece.value, source="CP", says={}))


def is_linked(piece: Piece) -> bool:
    """Whether the piece itself begins with on: "on the left", "on the outside"."""
    return piece.heard.startswith("on ")
