"""What to tell an ordinary Vosk model at run time: notes as they may be said, in words it knows."""

import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from importlib import resources
from itertools import cycle

from pydantic import BaseModel, ConfigDict

from dictate.decoder.language import FILLER
from dictate.decoder.sampling import whole_notes
from grammar import Word, vocabulary

MissingWords = Callable[[Iterable[str]], Sequence[str]]
_NOTES = 3000
"""Vosk counts word pairs over them, so a few thousand are enough and load in a second."""
_SEED = 7


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid")

    say_as: dict[str, list[str]]


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


@lru_cache(maxsize=1)
def spelt_as() -> Mapping[str, Sequence[str]]:
    """Return each trade word with its spellings in other words, first choice first."""
    text = resources.files("dictate.decoder").joinpath("say_as.toml").read_text("utf-8")
    return _File.model_validate(tomllib.loads(text)).say_as


def spell_out(
    lacking: Sequence[str], missing_words: MissingWords
) -> tuple[dict[str, str], tuple[str, ...]]:
    """Return how to spell lacking words with words a model knows, and those that stay missing."""
    spelt: dict[str, str] = {}
    for word in lacking:
        for spelling in spelt_as().get(word, ()):
            if not missing_words(spelling.split()):
                spelt[word] = spelling
                break
    return spelt, tuple(word for word in lacking if word not in spelt)


def turn_back(words: Sequence[Word], spelt: Mapping[str, str]) -> tuple[Word, ...]:
    """Turn spelt-out words back into the trade's; each takes the time of all its parts."""
    patterns = sorted(
        ((tuple(said.split()), word) for word, said in spelt.items()),
        key=lambda item: -len(item[0]),
    )
    turned: list[Word] = []
    at = 0
    while at < len(words):
        texts = tuple(word.text for word in words[at:])
        for parts, trade_word in patterns:
            if texts[: len(parts)] == parts:
                run = words[at : at + len(parts)]
                sure = [word.confidence for word in run if word.confidence is not None]
                turned.append(
                    replace(
                        run[0], text=trade_word, end=run[-1].end, confidence=min(sure, default=None)
                    )
                )
                at += len(parts)
                break
        else:
            turned.append(words[at])
            at += 1
    return tuple(turned)
