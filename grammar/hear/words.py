"""Words in: from recognised words or typed text to one plain form."""

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import pairwise

from grammar.records import Word

UNKNOWN = "[unk]"
"""What a recogniser writes for a sound outside its vocabulary; never a word of the lexicon."""

_TYPED = re.compile(r"\[unk\]|[a-z]+(?:'[a-z]+)*|\d+|½|¼|¾|[%°]", re.IGNORECASE)
_SIGNS = {"½": "half", "¼": "quarter", "¾": "three quarters", "%": "percent", "°": "degrees"}
_DECIMAL = re.compile(r"(\d)\.(\d)")


def normal(text: str) -> str:
    """Return a word in the form the lexicon is written in: lower case, straight apostrophe."""
    return text.strip().lower().replace("\u2019", "'")


def split_text(text: str) -> tuple[Word, ...]:
    """Split typed text into words: `"Cow 412, M4.1"` gives cow, 412, m, 4, point, 1."""
    spaced = _DECIMAL.sub(r"\1 point \2", normal(text))
    pieces = (_SIGNS.get(piece, piece) for piece in _TYPED.findall(spaced))
    return tuple(Word(text=word) for piece in pieces for word in piece.split())


def as_words(words: Iterable[str | Word]) -> tuple[Word, ...]:
    """Return Word records; plain strings get no times."""
    return tuple(word if isinstance(word, Word) else _untimed(str(word)) for word in words)


@lru_cache(maxsize=4096)
def _untimed(text: str) -> Word:
    return Word(text=text)


def runs(places: Iterable[int]) -> list[tuple[int, int]]:
    """Return runs of neighbouring places as (first, one past the last)."""
    ordered = sorted(set(places))
    cuts = [at + 1 for at, (one, two) in enumerate(pairwise(ordered)) if two != one + 1]
    parts = [ordered[a:b] for a, b in pairwise([0, *cuts, len(ordered)])]
    return [(part[0], part[-1] + 1) for part in parts if part]


def texts(words: Sequence[Word]) -> list[str]:
    """Return the plain forms, in order; a word of blanks alone is a sound and no word."""
    return [normal(word.text) or UNKNOWN for word in words]
