"""How the words of a transcript may have been said, as outputs of the network."""

import re
from collections.abc import Iterable
from functools import cache

from dictate.decoder.phones import ARPABET
from dictate.decoder.pronunciation import everyday_words, pronunciations
from dictate.decoder.sampling import spoken_numbers
from grammar import Roster

Sounded = tuple[tuple[tuple[int, ...], ...], ...]
"""For each word its pronunciations, each a run of output numbers."""

_OUTPUT = {phone: number for number, phone in enumerate(ARPABET, start=1)}
_AROUND = re.compile(r"^[^\w']+|[^\w']+$")
_APART = re.compile(r"[-–/_]|(?<=\d)\.(?=\d)")
"""Between words, or digits, that are said one after the other."""
_MOST_DIGITS = 12
"""Longer figures are no number that anybody says."""


def plain_words(words: Iterable[str]) -> tuple[str, ...]:
    """Lower case, no punctuation, hyphens apart; figures that are said in one way are their words."""
    parts = (part for word in words for part in _APART.split(word.lower().replace("’", "'")))
    bare = [word for part in parts if (word := _AROUND.sub("", part))]
    ways = [spellings(word) for word in bare]
    return tuple(
        part
        for word, some in zip(bare, ways, strict=True)
        for part in (some[0] if len(some) == 1 else (word,))
    )


@cache
def spellings(word: str) -> tuple[tuple[str, ...], ...]:
    """The ways of saying figures, digit by digit first; of any other word itself."""
    if not word.isdecimal() or not word.isascii() or len(word) > _MOST_DIGITS:
        return ((word,),)
    digits = [spoken_numbers(Roster(numbers=(digit,)))[digit] for digit in word]
    singly = [tuple(names[at % len(names)][0] for names in digits) for at in range(2)]
    usual = spoken_numbers(Roster(numbers=(word,)))[word]
    return tuple(dict.fromkeys((*singly, *usual)))


def sounds_of(words: Iterable[str]) -> tuple[Sounded, tuple[str, ...]]:
    """Return the pronunciations of each word, and the words that have none."""
    known = {word: _ways(word) for word in words}
    unknown = tuple(sorted(word for word, ways in known.items() if not ways))
    return tuple(known[word] for word in words), unknown


@cache
def _ways(word: str) -> tuple[tuple[int, ...], ...]:
    if len(spellings(word)) > 1:  # figures: the first way stands in until the sound is asked
        return tuple(_first(spelt) for spelt in spellings(word))
    ways = pronunciations().get(word, ()) or everyday_words().get(word, ())
    ways = ways or _dictionary().get(word, ())
    return tuple(tuple(_OUTPUT[phone] for phone in way) for way in ways)


def _first(words: Iterable[str]) -> tuple[int, ...]:
    """One pronunciation of words one after the other."""
    return tuple(output for word in words for output in _ways(word)[0])


@cache
def _dictionary() -> dict[str, tuple[tuple[str, ...], ...]]:
    """The CMU dictionary where the package that carries it is installed: for existing recordings."""
    from dictate.decoder.pronunciation import cmu_pronunciations  # noqa: PLC0415
    from dictate.errors import ModelError  # noqa: PLC0415

    try:
        return dict(cmu_pronunciations())
    except ModelError:
        return {}
