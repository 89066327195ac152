"""What may replace what in a correction, and what the new words mean in the old one's place."""

from dataclasses import replace
from typing import Any

from grammar.join.pieces import CLAW_KINDS, FOOT_KINDS, Piece

__all__ = ["as_animal", "half_of", "is_side", "number_for", "same_kinds"]

_NUMBERED = frozenset({"animal", "zone", "stage", "locomotion"})
_STAGES = frozenset({"M0", "M1", "M2", "M3", "M4", "M4.1"})


def as_animal(piece: Piece) -> Piece | None:
    """Return an animal, or the animal that a bare number names; None for anything else."""
    if piece.kind == "animal":
        return piece
    if piece.kind != "num" or not piece.more["identifier"]:
        return None
    more = {"ending": False, "words": piece.heard.split()}
    return replace(piece, kind="animal", value=piece.more["identifier"], more=more)


def number_for(kind: str, piece: Piece) -> Any:
    """Return what a bare number means in place of an animal, zone, stage or score; None if nothing."""
    if kind == "animal":
        return piece.more["identifier"]
    count = piece.more["quantity"]
    if count is None:
        return None
    whole = int(count) if count.denominator == 1 else None
    if kind == "zone" and whole is not None and whole <= 12:
        return (whole,)
    if kind == "stage" and f"M{float(count):g}" in _STAGES:
        return f"M{float(count):g}"
    if kind == "locomotion" and whole is not None and whole <= 5:
        return whole
    return None


def same_kinds(kind: str) -> frozenset[str]:
    if kind in FOOT_KINDS:
        return FOOT_KINDS
    if kind in CLAW_KINDS:
        return CLAW_KINDS
    if kind in ("lesion", "object"):
        return frozenset({"lesion", "object"})
    return _NUMBERED if kind == "num" else frozenset({kind})


def is_side(piece: Piece) -> bool:
    """A bare "left" or "right" after a correction is half a foot."""
    return piece.kind == "fill" and piece.value in ("left", "right")


def half_of(piece: Piece, old: Piece) -> Piece:
    """Complete half a foot from the foot it corrects: "left hind, no, right" is right hind."""
    if piece.kind != "half" or old.kind != "foot":
        return piece
    letter = {"left": "L", "right": "R", "hind": "H", "front": "F"}.get(str(piece.value), "")
    if letter in ("L", "R"):
        feet = tuple(dict.fromkeys(letter + foot[1] for foot in old.value))
    else:
        feet = tuple(dict.fromkeys(foot[0] + letter for foot in old.value))
    return replace(piece, kind="foot", value=feet)
