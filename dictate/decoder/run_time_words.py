"""What to tell an ordinary Vosk model at run time: notes as they may be said, in words it knows."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import cycle

from dictate.decoder.language import FILLER
from dictate.decoder.sampling import whole_notes
from dictate.decoder.say_as import MissingWords, spell_out
from grammar import vocabulary

_NOTES = 3000
"""Vosk counts word pairs over them, so a few thousand are enough and load in a second."""
_SEED = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What a model is told, and what it lacks."""

    phrases: tuple[str, ...]
    spelt: Mapping[str, str]
    """Trade words it lacks, with the words it hears instead."""
    missing: tuple[str, ...]
    """Trade words it can never hear."""


def expect(
    missing_words: MissingWords, *, spoken: Mapping[str, Sequence[tuple[str, ...]]]
) -> Expected:
    """Return notes in words that a model knows; a herd's numbers are each said in every way."""
    words = vocabulary()
    spelt, missing = spell_out(missing_words(words), missing_words)
    unsaid = set(missing)
    notes = [
        " ".join(spelt.get(word, word) for word in note)
        for note in _with_herd(spoken)
        if not unsaid.intersection(note)
    ]
    alone = [spelt.get(word, word) for word in sorted(words - unsaid)]
    filler = [] if missing_words([FILLER]) else [FILLER]
    return Expected(phrases=tuple(notes + alone + filler), spelt=spelt, missing=missing)


def _with_herd(spoken: Mapping[str, Sequence[tuple[str, ...]]]) -> Iterator[tuple[str, ...]]:
    yield from whole_notes(_NOTES, seed=_SEED)
    ways = [way for number in spoken for way in spoken[number]]
    if ways:
        for _, way in zip(range(max(_NOTES, len(ways))), cycle(ways), strict=False):
            yield ("cow", *way)
