"""What stands beside a piece, and turning it into one that says nothing."""

from collections.abc import Sequence
from collections.abc import Set as AbstractSet

from grammar.join.cursor import back, get, past
from grammar.pieces import LINKS, Filler, Piece, turned

__all__ = ["is_word", "just_before", "next_to", "silent"]


def silent(piece: Piece) -> Piece:
    """Return the piece as a word that says nothing."""
    return turned(piece, Filler, value=piece.heard)


def is_word(piece: Piece | None, words: AbstractSet[str]) -> bool:
    """Whether a piece is one of these little words."""
    return isinstance(piece, Filler) and piece.heard in words


def next_to(pieces: Sequence[Piece], at: int) -> Piece | None:
    """Return the next piece that is no link."""
    return get(pieces, past(pieces, at + 1, LINKS))


def just_before(pieces: Sequence[Piece], at: int) -> Piece | None:
    """Return the piece before that is no link."""
    return get(pieces, back(pieces, at - 1, LINKS))
