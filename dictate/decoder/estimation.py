"""Which word follows which, estimated from notes of several kinds.

Each source of notes has a model of its own, interpolated Kneser-Ney (Kneser and Ney 1995; Chen and
Goodman 1999): a shorter history's chances are of how many words each word was seen behind, not how
often.  The models are mixed by the sources' shares, and what the mixture would miss least is taken
out until it is as small as asked (entropy pruning, Stolcke 1998).  So few notes as people say them
count beside any number of sampled ones, and each n-gram kept is one that tells something.
"""

import heapq
import math
from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from dictate.decoder.language import END, START, Gram, LanguageModel

_DISCOUNTS = (0.7, 0.9, 0.95)
"""What an n-gram of one, two, three words gives up of each count to those never seen; chosen on notes
of a hand whose other notes were not estimated from (docs/explanation/model-card.md)."""
_UNIFORM_SHARE = 0.02
"""Of the unigram mass, spread evenly over the vocabulary so that no word is impossible."""
_LEAST = 1e-6
"""Of a history's mass, what it keeps for words never seen behind it."""
_ALL: Mapping[int, int] = MappingProxyType({})


class Source(NamedTuple):
    """Notes of one kind."""

    share: float
    """How much of all notes they stand for; shares are taken relative to their sum."""
    notes: Sequence[Sequence[str]]
    """Word sequences without sentence marks."""


def estimate(
    sources: Iterable[Source],
    *,
    vocabulary: Collection[str],
    order: int = 2,
    kept: Mapping[int, int] = _ALL,
) -> LanguageModel:
    """Estimate a back-off model.

    Args:
        sources: of the notes.
        vocabulary: words that must be possible even when no note has them.
        order: words in the longest n-gram, at most three.
        kept: words in an n-gram to how many such n-grams the model may have; all where nothing is said.
    """
    counted = [(share, _count(notes, order)) for share, notes in sources]
    seen = {gram[0] for _, counts in counted for gram in counts[1]}
    words = sorted({*vocabulary, *seen, END} - {START})
    models = [(share, _KneserNey(counts, len(words))) for share, counts in counted]
    whole = sum(share for share, _ in models)

    def chance_of(gram: Gram) -> float:
        return sum(share * model.chance(gram) for share, model in models) / whole

    mixed = _Mixture(
        {
            (word,): (1 - _UNIFORM_SHARE) * chance_of((word,)) + _UNIFORM_SHARE / len(words)
            for word in words
        }
    )
    for size in range(2, order + 1):
        grams = {gram for _, counts in counted for gram in counts[size]}
        mixed.chances |= {gram: chance_of(gram) for gram in sorted(grams)}
    for size in range(order, 1, -1):
        if size in kept:
            mixed.prune(size, kept[size])
    mixed.weigh()
    return LanguageModel(
        probability={gram: math.log(value) for gram, value in mixed.chances.items()},
        backoff={history: math.log(value) for history, value in mixed.leave.items()},
    )


def _count(notes: Iterable[Sequence[str]], order: int) -> dict[int, Counter[Gram]]:
    counts: dict[int, Counter[Gram]] = {size: Counter() for size in range(1, order + 1)}
    for note in notes:
        marked = (START, *note, END)
        for end in range(1, len(marked)):
            for size in range(1, min(order, end + 1) + 1):
                counts[size][marked[end - size + 1 : end + 1]] += 1
    return counts


class _KneserNey:
    """The model of one source."""

    def __init__(self, counts: Mapping[int, Counter[Gram]], words: int) -> None:
        self._seen: dict[Gram, float] = {}
        self._leave: dict[Gram, float] = {}
        self._uniform = 1 / words
        for size, grams in counts.items():
            times = grams if size == max(counts) else _behind(grams, counts[size + 1])
            discount = _DISCOUNTS[size - 1]
            total: Counter[Gram] = Counter()
            kinds: Counter[Gram] = Counter()
            for gram, seen in times.items():
                total[gram[:-1]] += seen
                kinds[gram[:-1]] += 1
            for gram, seen in times.items():
                self._seen[gram] = (seen - discount) / total[gram[:-1]]
            for history, number in kinds.items():
                self._leave[history] = discount * number / total[history]

    def chance(self, gram: Gram) -> float:
        """Return the chance of the last word behind the others."""
        history = gram[:-1]
        shorter = self.chance(gram[1:]) if history else self._uniform
        if history not in self._leave:
            return shorter
        return self._seen.get(gram, 0.0) + self._leave[history] * shorter


def _behind(grams: Counter[Gram], longer: Counter[Gram]) -> Mapping[Gram, int]:
    """Return how many words each n-gram was seen behind; at a note's start, how often."""
    times = Counter(gram[1:] for gram in longer)
    return {gram: seen if gram[0] == START else times[gram] for gram, seen in grams.items()}


class _Mixture:
    """Chances of n-grams, and what each history leaves to shorter ones."""

    def __init__(self, chances: dict[Gram, float]) -> None:
        self.chances = chances
        self.leave: dict[Gram, float] = {}

    def chance(self, gram: Gram) -> float:
        """Look a chance up as a decoder would, backing off."""
        if gram in self.chances:
            return self.chances[gram]
        return self.leave.get(gram[:-1], 1.0) * self.chance(gram[1:])

    def weigh(self) -> None:
        """Set back-off weights that make every history's chances add up to one."""
        self.leave = {}
        for size in range(2, max(map(len, self.chances)) + 1):
            spared = self._spared(size)
            self.leave |= {history: left / lower for history, (left, lower) in spared.items()}

    def prune(self, size: int, kept: int) -> None:
        """Take n-grams of `size` words out, those first whose loss changes the model least.

        One that is another's history stays.
        """
        self.weigh()
        spared = self._spared(size)
        histories = {gram[:-1] for gram in self.chances if len(gram) == size + 1}
        free = [gram for gram in self._of(size) if gram not in histories]
        losses = {gram: self._loss(gram, *spared[gram[:-1]]) for gram in free}
        surplus = max(0, len(free) - max(0, kept - len(histories)))
        for gram in heapq.nsmallest(surplus, free, key=losses.__getitem__):
            del self.chances[gram]

    def _of(self, size: int) -> Iterator[Gram]:
        return (gram for gram in self.chances if len(gram) == size)

    def _spared(self, size: int) -> dict[Gram, tuple[float, float]]:
        """Return what each history's n-grams leave of its mass, and of that of the shorter history."""
        spared: dict[Gram, tuple[float, float]] = defaultdict(lambda: (1.0, 1.0))
        for gram in self._of(size):
            left, lower = spared[gram[:-1]]
            spared[gram[:-1]] = left - self.chances[gram], lower - self.chance(gram[1:])
        return {h: (max(left, _LEAST), max(lower, _LEAST)) for h, (left, lower) in spared.items()}

    def _loss(self, gram: Gram, left: float, lower: float) -> float:
        """Return the relative entropy that the model loses without an n-gram (Stolcke 1998, eq. 9)."""
        chance, shorter = self.chances[gram], self.chance(gram[1:])
        leave = math.log((left + chance) / (lower + shorter))
        change = math.log(shorter) + leave - math.log(chance)
        return -self._of_history(gram[:-1]) * (
            chance * change + left * (leave - math.log(left / lower))
        )

    def _of_history(self, history: Gram) -> float:
        if history == (START,):
            return 1.0
        longer = self._of_history(history[:-1]) if len(history) > 1 else 1.0
        return longer * self.chance(history)
