"""What stands beside a piece, and turning it into one that says nothing."""

from collections.abc import Sequence
from collections.abc import Set as AbstractSet

from grammar.join.cursor import back, get, past
from grammar.pieces import LINKS, Filler, Leftover, Piece, turned

__all__ = ["COMES_OFF", "is_word", "just_before", "next_to", "silent", "untaken", "words_before"]

COMES_OFF = frozenset({"block", "wrap"})
"""Deeds that are put on, and come off later."""


def silent(piece: Piece) -> Piece:
    """Return the piece as a word that says nothing."""
    return turned(piece, Filler, value=piece.heard)


def untaken(piece: Piece) -> Piece:
    """Return the piece as words that nobody has understood."""
    return turned(piece, Leftover, value=piece.heard, rule="")


def words_before(pieces: Sequence[Piece], at: int, count: int) -> list[str]:
    """Return the words of so many pieces before one."""
    return [word for one in pieces[max(0, at - count) : at] for word in one.heard.split()]


def is_word(piece: Piece | None, words: AbstractSet[str]) -> bool:
    """Whether a piece is one of these little words."""
    return isinstance(piece, Filler) and piece.heard in words


def next_to(pieces: Sequence[Piece], at: int) -> Piece | None:
    """Return the next piece that is no link."""
    return get(pieces, past(pieces, at + 1, LINKS))


def just_before(pieces: Sequence[Piece], at: int) -> Piece | None:
    """Return the piece before that is no link."""
    return get(pieces, back(pieces, at - 1, LINKS))
