"""What is usually said between two words: counted in sampled notes and in the other notes of a visit.

It orders what is offered to be put in by hand. It never changes a reading.
"""

import random
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from itertools import pairwise
from math import log

from grammar import sample_note
from grammar.hear.words import UNKNOWN

START, END = "<start>", "<end>"
_SAMPLED = 1000
_OWN_WEIGHT = 10
"""What this trimmer said today counts so much more than what trimmers may say."""
_SURE = 0.4
"""A next word at least so likely is offered together with the one before it."""
_LONGEST = 4


@dataclass(frozen=True)
class Habits:
    """Counted words and pairs of words."""

    words: Counter[str]
    pairs: Counter[tuple[str, str]]

    def likeness(self, before: str, word: str) -> float:
        """How usual a word is behind another; higher is more so."""
        alone = (self.words[word] + 0.5) / self._total
        kinds = self._kinds[before] + 1
        return log((self.pairs[before, word] + kinds * alone) / (self.words[before] + kinds))

    def going_on(self, word: str) -> list[str]:
        """The words that all but always follow, e.g. `again` and `in` after `look`."""
        found: list[str] = []
        here = word
        while len(found) < _LONGEST and (likeliest := self._next.get(here)):
            following, count = likeliest
            if following == END or count < _SURE * self.words[here]:
                break
            found.append(following)
            here = following
        return found

    @cached_property
    def _total(self) -> int:
        return self.words.total()

    @cached_property
    def _kinds(self) -> Counter[str]:
        """How many different words followed each: the more, the likelier is one that never did."""
        return Counter(before for before, _ in self.pairs)

    @cached_property
    def _next(self) -> dict[str, tuple[str, int]]:
        best: dict[str, tuple[str, int]] = {}
        for (one, two), count in self.pairs.items():
            if count > best.get(one, ("", 0))[1]:
                best[one] = (two, count)
        return best


def habits_from(notes: Iterable[Sequence[str]]) -> Habits:
    """Count the notes of one visit together with sampled ones."""
    words, pairs = _sampled()
    words, pairs = words.copy(), pairs.copy()
    for note in notes:
        _count(note, words, pairs, _OWN_WEIGHT)
    return Habits(words, pairs)


@cache
def _sampled() -> tuple[Counter[str], Counter[tuple[str, str]]]:
    rng = random.Random(1)
    words: Counter[str] = Counter()
    pairs: Counter[tuple[str, str]] = Counter()
    for _ in range(_SAMPLED):
        _count(sample_note(rng).words, words, pairs, 1)
    return words, pairs


def _count(
    note: Sequence[str], words: Counter[str], pairs: Counter[tuple[str, str]], weight: int
) -> None:
    line = [START, *note, END]
    for word in line:
        words[word] += weight
    for pair in pairwise(line):
        if UNKNOWN not in pair:
            pairs[pair] += weight
