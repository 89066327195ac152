"""Which way a crack runs, where it is told apart from the crack."""

from collections.abc import Sequence
from dataclasses import replace

from grammar.join.near import silent
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import Lesion, Piece

__all__ = ["said_of_crack", "way_of_crack"]

_CRACKS = ("crack", "fissure", "split")
_WAYS = {
    "vertical": "vertical horn fissure",
    "horizontal": "horizontal horn fissure",
    "axial": "axial horn fissure",
}
_AROUND = 9
"""So many pieces about a crack may say which way it runs."""


def way_of_crack(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Hoof crack right front, vertical"."""
    piece = pieces[at]
    if not isinstance(piece, Lesion) or piece.value not in _WAYS.values():
        return None
    told = next((one.heard for one in _around(pieces, at) if one.heard in _WAYS), None)
    if told is None or not piece.heard.endswith(_CRACKS):
        return None
    heard = f"{piece.heard} {told}"
    return [replace(piece, value=_WAYS[told], heard=heard, rejected=())]


def said_of_crack(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """Return the word for the way it runs as one that is taken."""
    piece = pieces[at]
    if piece.heard not in _WAYS:
        return None
    near = _around(pieces, at)
    crack = any(isinstance(one, Lesion) and one.heard.endswith(_CRACKS) for one in near)
    return [silent(piece)] if crack else None


def _around(pieces: Sequence[Piece], at: int) -> Sequence[Piece]:
    return pieces[max(at - _AROUND, 0) : at + _AROUND]
