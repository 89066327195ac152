"""What feet a foot piece means: named, half named ("the left") or named by others ("the rest")."""

from grammar.join.pieces import FOOT_KINDS, Piece
from grammar.join.work import Work

__all__ = ["ALL_FEET", "resolve_feet"]

ALL_FEET = ("LF", "RF", "LH", "RH")
_ACROSS = {"L": "R", "R": "L"}


def resolve_feet(work: Work) -> dict[int, tuple[str, ...]]:
    """Return position -> feet; empty where the words leave the foot open."""
    named = [work.pieces[i].value for i in work.at("foot")]
    said = {foot for feet in named for foot in feet}
    current: tuple[str, ...] = ()
    found: dict[int, tuple[str, ...]] = {}
    for i in work.at(*FOOT_KINDS):
        piece = work.pieces[i]
        if piece.kind == "foot":
            feet = piece.value
        elif piece.kind == "half":
            feet = _complete(piece, current or (named[0] if named else ()))
        else:
            feet = _by_others(piece, current, said)
        found[i] = feet
        current = feet or current
    return found


def _complete(piece: Piece, known: tuple[str, ...]) -> tuple[str, ...]:
    """ "the right" after the left hind is the right hind."""
    row = piece.more
    if row.side is not None:
        return tuple(dict.fromkeys(row.side[0].upper() + foot[1] for foot in known))
    return tuple(dict.fromkeys(foot[0] + row.end[0].upper() for foot in known))


def _by_others(piece: Piece, known: tuple[str, ...], said: set[str]) -> tuple[str, ...]:
    if piece.value == "same":
        return known
    if piece.value == "rest":
        return tuple(foot for foot in ALL_FEET if foot not in said)
    return tuple(_ACROSS[foot[0]] + foot[1] for foot in known)
