"""Bare numbers that say how she walks, or how bad a lesion is: "she's a two", "severity of the ulcer two"."""

from collections.abc import Sequence

from grammar.join.cursor import back, get, seek
from grammar.join.near import silent, words_before
from grammar.lexicon.lexicon import Lexicon
from grammar.pieces import (
    FINDINGS,
    LINKS,
    Leftover,
    Lesion,
    Number,
    Piece,
    Score,
    Severity,
    StatusSaid,
    turned,
)

__all__ = ["grade_behind", "grading", "score_of_her", "score_of_walk"]

_OUT_OF = "score out of"
_SCALES = {"3": "0-3", "5": "1-5"}
_WAS = frozenset({"was", "were"})
_NEAR = 3
_GRADE_MAX = 5
_BOTH_MAX = 3
"""The highest score that both scales have."""


def grade_behind(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """The number of "severity of the ulcer two"."""
    score, lesion = _score(pieces[at]), get(pieces, at - 1)
    told = isinstance(lesion, Lesion) and _names_grade(pieces, at - 2, lexicon)
    return [turned(pieces[at], Severity, value=f"grade {score}")] if score and told else None


def _is_lame(pieces: Sequence[Piece], at: int) -> bool:
    """Whether she was called lame before."""
    return any(isinstance(one, StatusSaid) and "lame" in one.heard for one in pieces[:at])


def grading(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """The "severity" of "severity of the ulcer two"."""
    if pieces[at].heard not in lexicon.numbers.gradings.words:
        return None
    lesion = seek(pieces, at, (Lesion,), at + _NEAR + 1)
    told = lesion is not None and _names_grade(pieces, lesion - 1, lexicon)
    graded_so = told and lesion is not None and _score(get(pieces, lesion + 1)) is not None
    return [silent(pieces[at])] if graded_so else None


def _names_grade(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    head = get(pieces, back(pieces, at, LINKS))
    return isinstance(head, Leftover) and head.heard in lexicon.numbers.gradings.words


def score_of_her(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> list[Piece] | None:
    """ "She's still a three", "I'd call her a one": how she walks; what she was is no score of today."""
    score, words = _score(pieces[at]), words_before(pieces, at, _NEAR)
    if score is None or not words or words[-1] not in ("a", "at"):
        return None
    called = _is_lame(pieces, at) and seek(pieces, 0, FINDINGS, at) is None and "call" in words
    if set(lexicon.numbers.of_her.words).isdisjoint(words) and not called:
        return None
    if not _WAS.isdisjoint(words):
        return [turned(pieces[at], Leftover, value=pieces[at].heard, rule="")]
    return [_walked(pieces[at], score)]


def score_of_walk(pieces: Sequence[Piece], at: int, _: Lexicon) -> list[Piece] | None:
    """ "Lame as a tree, three out of three": of her walk, where no lesion has been named."""
    piece = pieces[at]
    named = seek(pieces, 0, FINDINGS, at) is not None
    if not isinstance(piece, Severity) or piece.rule != _OUT_OF or named:
        return None
    value, _of, scale = piece.value.removeprefix("grade ").partition(" of ")
    if scale not in _SCALES or not _is_lame(pieces, at):
        return None
    return [turned(piece, Score, value=int(value), scale=_SCALES[scale])]


def _walked(number: Piece, score: int) -> Score:
    """Make a score of her walk; four and five are on one scale only."""
    return turned(number, Score, value=score, scale="1-5" if score > _BOTH_MAX else None)


def _score(piece: Piece | None) -> int | None:
    """Return a bare number that may be a score, said in one word."""
    if not isinstance(piece, Number) or piece.quantity is None or " " in piece.heard:
        return None
    return int(piece.quantity) if piece.quantity in range(_GRADE_MAX + 1) else None
