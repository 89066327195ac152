"""What feet a foot piece means: named, half named ("the left") or named by others ("the rest")."""

from collections.abc import Mapping

from grammar.join.replacing import feet_of_half
from grammar.join.work import Work
from grammar.pieces import Foot, HalfFoot, OtherFeet

__all__ = ["ALL_FEET", "across", "resolve_feet"]

ALL_FEET = ("LF", "RF", "LH", "RH")
_ACROSS = {"L": "R", "R": "L"}


def resolve_feet(work: Work) -> dict[int, tuple[str, ...]]:
    """Return position -> feet; empty where the words leave the foot open."""
    named = [piece.value for piece in work.pieces if isinstance(piece, Foot)]
    said = {foot for feet in named if len(feet) < len(ALL_FEET) for foot in feet}
    current: tuple[str, ...] = ()
    found: dict[int, tuple[str, ...]] = {}
    for i, piece in enumerate(work.pieces):
        if isinstance(piece, Foot):
            feet = piece.value
        elif isinstance(piece, HalfFoot):
            known = current or (named[0] if named else ())
            if not known and piece.heard.endswith("side"):
                known = ALL_FEET  # "right side overgrown": both feet of that side
            elif piece.heard.endswith("side") and not piece.is_end:
                known = tuple(dict.fromkeys((*known, *_ends_named(found))))
            feet = feet_of_half(piece, known)
        elif isinstance(piece, OtherFeet):
            feet = _by_others(piece, current, said)
        else:
            continue
        found[i] = feet
        current = feet or current
    return found


def _ends_named(found: Mapping[int, tuple[str, ...]]) -> tuple[str, ...]:
    """ "Right front …, right hind …, left side all good": one foot of each end named so far."""
    return tuple(foot for feet in found.values() for foot in feet)


def _by_others(piece: OtherFeet, known: tuple[str, ...], said: set[str]) -> tuple[str, ...]:
    if piece.value == "same":
        return known
    if piece.value == "rest":
        return tuple(foot for foot in ALL_FEET if foot not in said)
    return across(known)


def across(feet: tuple[str, ...]) -> tuple[str, ...]:
    """Return the feet of the other side."""
    return tuple(_ACROSS[foot[0]] + foot[1] for foot in feet)
