"""How the words of a transcript may have been said, as outputs of the network."""

import re
from collections.abc import Iterable
from functools import cache

from dictate.decoder.phones import ARPABET
from dictate.decoder.pronunciation import everyday_words, pronunciations

__all__ = ["Sounded", "plain_words", "sounds_of"]

Sounded = tuple[tuple[tuple[int, ...], ...], ...]
"""For each word its pronunciations, each a run of output numbers."""

_OUTPUT = {phone: number for number, phone in enumerate(ARPABET, start=1)}
_DIGITS = dict(zip("0123456789", "zero one two three four five six seven eight nine".split(), strict=True))  # fmt: skip
_AROUND = re.compile(r"^[^\w']+|[^\w']+$")


def plain_words(words: Iterable[str]) -> tuple[str, ...]:
    """Lower case, no punctuation, hyphens apart; a digit alone is its word."""
    parts = (part for word in words for part in word.lower().replace("’", "'").split("-"))
    bare = (_AROUND.sub("", part) for part in parts)
    return tuple(_DIGITS.get(word, word) for word in bare if word)


def sounds_of(words: Iterable[str]) -> tuple[Sounded, tuple[str, ...]]:
    """Return the pronunciations of each word, and the words that have none."""
    known = {word: _ways(word) for word in words}
    unknown = tuple(sorted(word for word, ways in known.items() if not ways))
    return tuple(known[word] for word in words), unknown


@cache
def _ways(word: str) -> tuple[tuple[int, ...], ...]:
    ways = pronunciations().get(word, ()) or everyday_words().get(word, ())
    ways = ways or _dictionary().get(word, ())
    return tuple(tuple(_OUTPUT[phone] for phone in way) for way in ways)


@cache
def _dictionary() -> dict[str, tuple[tuple[str, ...], ...]]:
    """The CMU dictionary where the package that carries it is installed: for existing recordings."""
    from dictate.decoder.cmu_dictionary import cmu_pronunciations  # noqa: PLC0415
    from dictate.errors import ModelError  # noqa: PLC0415

    try:
        return dict(cmu_pronunciations())
    except ModelError:
        return {}
