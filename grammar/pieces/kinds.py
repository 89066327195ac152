"""Kinds that rules treat alike: tuples for `isinstance`, and questions asked of one piece."""

from grammar.pieces.animals import AnimalSaid, NextCow
from grammar.pieces.findings import Course, ForeignBody, Lesion, Severity, Stage, Tissue
from grammar.pieces.piece import Piece
from grammar.pieces.rest import Dangling, Filler, Leftover, Number, On, With
from grammar.pieces.sites import Claw, Foot, HalfFoot, OtherClaw, OtherFeet
from grammar.pieces.work import ActionSaid, FollowUpSaid

Kinds = tuple[type[Piece], ...]

FEET = (Foot, HalfFoot, OtherFeet)
CLAWS = (Claw, OtherClaw)
LINKS = (Filler, On, With)
"""Pieces that only hold the others together."""
UNTAKEN = (Leftover, Number, Dangling)
"""Pieces that mean nothing alone."""
MODIFIERS = (Stage, Severity, Course, Tissue)
"""What qualifies a lesion and may stand before or after it."""
FINDINGS = (Lesion, ForeignBody)
DEEDS = (ActionSaid, FollowUpSaid)
"""What was done, and what is to be done."""
ANIMAL_EDGES = (AnimalSaid, NextCow)
"""Where another animal's part begins."""


def is_side(piece: Piece | None) -> bool:
    """A bare "left" or "right", which may be half a foot."""
    return isinstance(piece, Filler) and piece.value in ("left", "right")


def is_clean(piece: Piece | None) -> bool:
    """ "No lesion", "clean", "all good"."""
    return isinstance(piece, Lesion) and piece.value == "no lesion"


def is_linked(piece: Piece) -> bool:
    """Whether the piece itself begins with on: "on the left", "on the outside"."""
    return piece.heard.startswith("on ")
