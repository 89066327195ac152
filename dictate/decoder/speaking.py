"""Notes put together as people put them, from `speaking.toml` and the words of the lexicon.

Wider than `grammar.sample_note`: any order, commands, corrections, half-said things.  It serves
only the language model, so nothing says what such a note means.
"""

import random
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

from pydantic import BaseModel, ConfigDict, Field

from dictate.decoder.language import ANIMAL
from grammar import load_lexicon
from grammar.records import How

_PARTS = ((1, 2, 3, 4), (4, 5, 3, 1))
"""How many parts a note has, and how often."""
_ONES = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
]
_STAGES = ("zero", "one", "two", "two", "three", "four", "four point one")


class _Shape(BaseModel):
    model_config = ConfigDict(extra="forbid")

    says: str
    weight: float = Field(gt=0)


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid")

    start: list[_Shape]
    part: list[_Shape]
    usual: dict[str, dict[str, float]]


@dataclass(frozen=True, slots=True)
class _Choice:
    """Phrases and how often each is said."""

    phrases: Sequence[str]
    weights: Sequence[float]

    def draw(self, rng: random.Random) -> str:
        return rng.choices(self.phrases, self.weights)[0]


def spoken_note(rng: random.Random) -> list[str]:
    """Return one note as words; its animal numbers are the class `<animal>`."""
    starts, parts = _shapes()
    shapes = [starts.draw(rng)]
    shapes += [parts.draw(rng) for _ in range(rng.choices(*_PARTS)[0])]
    return " ".join(_said(token, rng) for shape in shapes for token in _tokens(shape, rng)).split()


@lru_cache(maxsize=1)
def _file() -> _File:
    text = resources.files("dictate.decoder").joinpath("speaking.toml").read_text("utf-8")
    return _File.model_validate(tomllib.loads(text))


@lru_cache(maxsize=1)
def _shapes() -> tuple[_Choice, _Choice]:
    file = _file()
    start, part = (
        _Choice([shape.says for shape in shapes], [shape.weight for shape in shapes])
        for shapes in (file.start, file.part)
    )
    return start, part


def _tokens(shape: str, rng: random.Random) -> list[str]:
    """Split a shape; each `[…]` is said half of the time."""
    said: list[str] = []
    for piece in shape.replace("[", "|[").replace("]", "|").split("|"):
        if not piece.startswith("["):
            said += piece.split()
        elif rng.random() < 0.5:
            said += piece[1:].split()
    return said


def _said(token: str, rng: random.Random) -> str:
    if token in _DRAWN:
        return _DRAWN[token](rng)
    if not token.isupper():
        return token
    return _draw(token, rng)


@lru_cache(maxsize=1)
def _by_tag() -> dict[str, dict[str, _Choice]]:
    """Return each tag's values with their phrases; what a recogniser mis-writes is never said."""
    lexicon = load_lexicon()
    found: dict[tuple[str, str], list[str]] = {}
    for term in lexicon.terms.values():
        taught = lexicon.vocabulary.issuperset(term.phrase.split())
        if term.how is not How.REPAIRED and taught and not getattr(term.row, "talk", False):
            found.setdefault((term.tag, str(term.value)), []).append(term.phrase)
    values: dict[str, dict[str, _Choice]] = {}
    for (tag, value), phrases in found.items():
        weights = [_weight(rank, phrase, phrases) for rank, phrase in enumerate(phrases)]
        values.setdefault(tag, {})[value] = _Choice(phrases, weights)
    return values


def _weight(rank: int, phrase: str, phrases: Sequence[str]) -> float:
    """Lexicon rows start with the usual phrase; short and singular ones are said oftener."""
    plural = 0.2 if phrase.removesuffix("s") != phrase and phrase[:-1] in phrases else 1.0
    return plural * (1 + rank) ** -0.7 * 0.7 ** len(phrase.split())


def _draw(tag: str, rng: random.Random) -> str:
    usual = _file().usual.get(tag, {})
    values = _by_tag()[tag]
    value = rng.choices(list(values), [usual.get(name, 1.0) for name in values])[0]
    return values[value].draw(rng)


def _value(tag: str, value: str) -> Callable[[random.Random], str]:
    def draw(rng: random.Random) -> str:
        return _by_tag()[tag][value].draw(rng)

    return draw  # looked up when first said: a program that only hears never needs the words by tag


def _size(rng: random.Random) -> str:
    if rng.random() < 0.4:
        return rng.choice(("half an inch", "half inch", "an inch", "one inch", "two inch",
                           "quarter inch", "one and a half inch", "three quarter inch"))  # fmt: skip
    tens = [
        "ten",
        "fifteen",
        "twenty",
        "thirty",
        "forty",
        "fifty",
        "sixty",
        "seventy",
        "eighty",
        "ninety",
    ]
    number = rng.choice((rng.choice(tens), f"{rng.choice(tens[2:])} {rng.choice(_ONES[1:10])}"))
    return f"{number} {rng.choice(('millimetres', 'millimeters', 'mil', 'centimetres'))}"


def _from_numbers(table: str) -> Callable[[random.Random], str]:
    return lambda rng: rng.choice(sorted(getattr(load_lexicon().numbers, table)))


_DRAWN: dict[str, Callable[[random.Random], str]] = {
    "ANIMAL": lambda _: ANIMAL,
    "ANIMAL_CUE": lambda rng: _draw("ANIMAL", rng),
    "BLOCK_MATERIAL": _value("MATERIAL", "block"),
    "TOPICAL_MATERIAL": _value("MATERIAL", "topical"),
    "no_lesion": _value("LESION", "no lesion"),
    "ZONES": lambda rng: rng.choice(_ONES),
    "SMALL": lambda rng: rng.choice(_ONES[1:11]),
    "SCORES": lambda rng: rng.choice(_ONES[:6]),
    "STAGES": lambda rng: rng.choice(_STAGES),
    "UNITS": lambda rng: rng.choice(("days", "days", "weeks", "weeks", "weeks", "months")),
    "UNIT": lambda rng: rng.choice(("week", "week", "fortnight", "month")),
    "WEEKDAY": _from_numbers("weekdays"),
    "MONTH": _from_numbers("months"),
    "ORDINAL": _from_numbers("ordinals"),
    "SIZE": _size,
}
