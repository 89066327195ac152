"""A note in the making: its words so far, the entries they must give, the phrases to choose from."""

import itertools
import random
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from grammar.lexicon.lexicon import Term
from grammar.lexicon.load import load_lexicon
from grammar.records import How

_CHANGES = ("place", "of_both_feet", "of_lesion")
"""Fields of rows whose phrases mean something else beside other words."""

Plain = dict[str, Any]
"""A plain entry, finding or action as in `as_json`."""


@lru_cache(maxsize=1)
def _phrases() -> Mapping[tuple[str, Any], tuple[Term, ...]]:
    """Lexicon terms by tag and value.

    Never mis-heard ones, what no recogniser is taught, or what other words change the sense of
    ("behind" next to a side, "both inners" behind several feet, "dry" behind a lesion).
    """
    lexicon = load_lexicon()
    found: dict[tuple[str, Any], list[Term]] = {}
    for term in lexicon.terms.values():
        taught = lexicon.vocabulary.issuperset(term.phrase.split())
        changes = any(getattr(term.row, field, False) for field in _CHANGES)
        if term.how is not How.REPAIRED and taught and not changes:
            found.setdefault((term.tag, term.value), []).append(term)
    return {key: tuple(terms) for key, terms in found.items()}


@lru_cache(maxsize=1)
def _neighbours() -> frozenset[tuple[str, str]]:
    """Words that stand side by side in some phrase: said across a border they would blend."""
    phrases = (phrase.split() for phrase in load_lexicon().terms)
    return frozenset(pair for words in phrases for pair in itertools.pairwise(words))


def values_of(tag: str) -> tuple[Any, ...]:
    return tuple(value for said, value in _phrases() if said == tag)


def _says_alone(phrase: str) -> bool:
    """Whether a phrase says its value alone: no "on a block"; "foot bath" alone is the farm's and no deed."""
    return not phrase.startswith("on ") and not phrase.endswith("bath")


@dataclass(slots=True, kw_only=True)
class NoteInTheMaking:
    """A note in the making."""

    rng: random.Random
    words: list[str] = field(default_factory=list)
    entries: list[Plain] = field(default_factory=list)
    feet: tuple[str, ...] = ()
    claw: str | None = None
    settled: bool = False
    """Whether the next lesion must name its foot again."""

    @property
    def entry(self) -> Plain:
        return self.entries[-1]

    @property
    def foot(self) -> str | None:
        return self.feet[0] if self.feet else None

    def say(self, *phrases: str) -> None:
        for phrase in phrases:
            self.words += phrase.split()

    def chance(self, share: float) -> bool:
        return self.rng.random() < share

    def say_value(self, tag: str, value: Any, before: str = "") -> str:
        """Say a value: its own name half of the time, else any of its phrases; return the phrase."""
        own = [t.phrase for t in _phrases()[tag, value] if _says_alone(t.phrase)]
        phrase = value if value in own and self.chance(0.5) else self.rng.choice(own)
        self.say(before)
        for _ in range(8):
            if not self.blends(phrase):
                break
            phrase = self.rng.choice(own)
        if self.blends(phrase):
            phrase = f"the {phrase}"
        self.say(phrase)
        return phrase.removeprefix("the ")

    def blends(self, phrase: str) -> bool:
        """Whether a phrase would run into the words before it: a plural behind a number counts."""
        if not self.words:
            return False
        plural = any(word.endswith("s") for word in (phrase, phrase.split(maxsplit=1)[0]))
        counts = self.words[-1] in load_lexicon().number_words and plural
        return counts or (self.words[-1], phrase.split(maxsplit=1)[0]) in _neighbours()
