"""Notes and numbers for the language model: sampled from the grammar, put together, and as said."""

import random
from collections.abc import Iterator, Mapping
from functools import cache
from importlib import resources
from itertools import islice, repeat

from dictate.decoder.estimation import Source
from dictate.decoder.language import ANIMAL
from dictate.decoder.speaking import spoken_note
from grammar import Roster, sample_note
from grammar.say.say_numbers import say_identifier, say_quantity

_STAND_IN = "9182736450"
"""A number whose spoken form is found again in a sampled note and replaced by the class."""
_NAMES_OF_ZERO = ("zero", "oh")
_WAYS_TRIED = 40
"""Enough draws to meet every usual way of saying a number."""
_SHARES = {"alone": 0.08, "said": 0.6, "grammar": 0.22, "free": 0.1}
"""Of notes that are a number and nothing else, said first, while the foot is still being looked at; of
notes as people say them, word for word; of the grammar's own sampler; of those put together more freely."""
_SINGLY_SHARE = 0.35
"""Of numbers, beyond those that the grammar says digit by digit; of long ones, twice as many."""
_LENGTHS = {1: 5, 2: 7, 3: 13, 4: 12, 5: 5, 6: 3, 7: 2, 8: 1.5, 9: 1, 10: 1.5, 11: 1}
"""Digits of a number to how often; the long ones are ends of ear tags, and telephone numbers."""
_LONG = 5


@cache
def said_notes() -> tuple[tuple[str, ...], ...]:
    """The notes of `said.txt`, animal numbers as `<animal>`."""
    text = resources.files("dictate.decoder").joinpath("said.txt").read_text("utf-8")
    lines = (line for line in text.splitlines() if not line.startswith("#"))
    return tuple(tuple(line.split()) for line in lines if line)


def note_sources(count: int, *, seed: int) -> tuple[Source, ...]:
    """Return notes of every kind, animal numbers as `<animal>`: `count` of each kind that is sampled."""
    rng = random.Random(seed)
    sampled = {
        kind: list(islice(_notes_of(kind, rng), count)) for kind in _SHARES if kind != "said"
    }
    return tuple(
        Source(share, sampled.get(kind) or said_notes()) for kind, share in _SHARES.items()
    )


def sampled_notes(count: int, *, seed: int) -> Iterator[tuple[str, ...]]:
    """Yield notes of all kinds, each as often as it is said, animal numbers as `<animal>`."""
    rng = random.Random(seed)
    kinds = {kind: _notes_of(kind, rng) for kind in _SHARES}
    for kind in rng.choices(list(_SHARES), list(_SHARES.values()), k=count):
        yield next(kinds[kind])


def _notes_of(kind: str, rng: random.Random) -> Iterator[tuple[str, ...]]:
    match kind:
        case "alone":
            yield from repeat((ANIMAL,))
        case "said":
            yield from (rng.choice(said_notes()) for _ in repeat(None))
        case "free":
            yield from (tuple(spoken_note(rng)) for _ in repeat(None))
    roster = Roster(numbers=(_STAND_IN,))
    stand_ins = [_stand_in(zero) for zero in _NAMES_OF_ZERO]
    while True:
        words = " ".join(sample_note(rng, roster=roster).words)
        for stand_in in stand_ins:
            words = words.replace(stand_in, ANIMAL)
        yield tuple(words.split())


def whole_notes(count: int, *, seed: int) -> Iterator[tuple[str, ...]]:
    """Yield notes with real numbers in them, for recognisers that know no classes."""
    numbers = sampled_numbers(count * 8, seed=seed)
    for note in sampled_notes(count, seed=seed):
        yield tuple(
            word for item in note for word in (next(numbers) if item == ANIMAL else (item,))
        )


def _stand_in(zero: str) -> str:
    for seed in range(1000):
        said = say_identifier(_STAND_IN, random.Random(seed))
        if zero in said:
            return " ".join(said)
    raise ValueError(f"no way of saying {_STAND_IN} with {zero}")


def sampled_numbers(count: int, *, seed: int) -> Iterator[tuple[str, ...]]:
    """Yield numbers of one to eleven digits as words, short ones oftener."""
    rng = random.Random(seed)
    for _ in range(count):
        digits = rng.choices(list(_LENGTHS), list(_LENGTHS.values()))[0]
        number = "".join(rng.choice("0123456789") for _ in range(digits))
        singly = _SINGLY_SHARE * (2 if digits >= _LONG else 1)
        yield _digit_by_digit(number, rng) if rng.random() < singly else _any_way(number, rng)


def _digit_by_digit(number: str, rng: random.Random) -> tuple[str, ...]:
    return tuple(word for digit in number for word in say_identifier(digit, rng))


def _any_way(number: str, rng: random.Random) -> tuple[str, ...]:
    if number[0] != "0" and len(number) in {3, 4} and rng.random() < 0.1:
        said = say_quantity(int(number))
        return said if rng.random() < 0.5 else tuple(word for word in said if word != "and")
    return say_identifier(number, rng)


def spoken_numbers(roster: Roster | None) -> Mapping[str, tuple[tuple[str, ...], ...]]:
    """Return every number of a roster with the usual ways of saying it."""
    numbers = roster.numbers if roster else ()
    return {number: _ways(number) for number in numbers if number.isdecimal()}


def _ways(number: str) -> tuple[tuple[str, ...], ...]:
    rng = random.Random(number)
    return tuple(sorted({_any_way(number, rng) for _ in range(_WAYS_TRIED)}))
