"""The language model: which word follows which in a note, as an n-gram model in ARPA form.

Notes are sampled from the grammar, so the model knows what the grammar can parse; smoothing leaves
every word possible after every other.  An animal's number stands in it as the class `<animal>`,
which `dictate.decoder.word_graph` opens into the herd's numbers.
"""

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from dictate.errors import ModelError

ANIMAL = "<animal>"
START = "<s>"
END = "</s>"
FILLER = "[unk]"
"""The word that stands for anything which is not of the trade."""

Gram = tuple[str, ...]

_UNIFORM_SHARE = 0.2
"""Of the unigram mass, spread evenly over the vocabulary so that no word is impossible."""

_EVERY: Mapping[int, int] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class LanguageModel:
    """A back-off n-gram model; probabilities are natural logarithms."""

    probability: Mapping[Gram, float]
    """N-gram to the log probability of its last word after the others."""
    backoff: Mapping[Gram, float]
    """History to the log weight of leaving it for a shorter one; 0 when not listed."""

    @property
    def order(self) -> int:
        """Words in the longest n-gram."""
        return max(len(gram) for gram in self.probability)

    @property
    def words(self) -> frozenset[str]:
        """Every word and class, sentence marks apart."""
        return frozenset(g[0] for g in self.probability if len(g) == 1) - {START, END}


def estimate(
    notes: Iterable[Sequence[str]],
    *,
    vocabulary: Iterable[str],
    order: int = 2,
    seen_min: Mapping[int, int] = _EVERY,
) -> LanguageModel:
    """Estimate a Witten-Bell smoothed model from word sequences.

    Args:
        notes: word sequences without sentence marks.
        vocabulary: words that must be possible even when no note has them.
        order: words in the longest n-gram.
        seen_min: words in an n-gram to how often it must occur to be kept; 1 where nothing is said.
    """
    counts = _count(notes, order)
    words = sorted({*vocabulary, *(gram[-1] for gram in counts[1])} - {START})
    total = sum(counts[1].values())
    uniform = _UNIFORM_SHARE / len(words)
    chance: dict[Gram, float] = {
        (word,): (1 - _UNIFORM_SHARE) * counts[1][(word,)] / max(total, 1) + uniform
        for word in words
    }
    leave: dict[Gram, float] = {}
    for size in range(2, order + 1):
        after: dict[Gram, list[int]] = defaultdict(list)
        for gram, seen in counts[size].items():
            after[gram[:-1]].append(seen)
        for gram, seen in counts[size].items():
            if seen < seen_min.get(size, 1):
                continue  # what is left out still counts for leaving its history
            history, times = gram[:-1], after[gram[:-1]]
            leave[history] = len(times) / (sum(times) + len(times))
            shorter = _chance(gram[1:], chance, leave)
            chance[gram] = seen / (sum(times) + len(times)) + leave[history] * shorter
    return LanguageModel(
        probability={gram: math.log(value) for gram, value in chance.items()},
        backoff={history: math.log(value) for history, value in _normalised(chance, leave)},
    )


def _count(notes: Iterable[Sequence[str]], order: int) -> dict[int, Counter[Gram]]:
    counts: dict[int, Counter[Gram]] = {size: Counter() for size in range(1, order + 1)}
    for note in notes:
        marked = (START, *note, END)
        for end in range(1, len(marked)):
            for size in range(1, min(order, end + 1) + 1):
                counts[size][marked[end - size + 1 : end + 1]] += 1
    return counts


def _chance(gram: Gram, chance: Mapping[Gram, float], leave: Mapping[Gram, float]) -> float:
    if gram in chance:
        return chance[gram]
    return leave.get(gram[:-1], 1.0) * _chance(gram[1:], chance, leave)


def _normalised(
    chance: Mapping[Gram, float], leave: Mapping[Gram, float]
) -> Iterator[tuple[Gram, float]]:
    """Yield back-off weights that make every history's chances add up to one."""
    kept: dict[Gram, float] = defaultdict(float)
    lower: dict[Gram, float] = defaultdict(float)
    for gram, value in chance.items():
        if len(gram) > 1:
            kept[gram[:-1]] += value
            lower[gram[:-1]] += _chance(gram[1:], chance, leave)
    for history in leave:
        yield history, max(1 - kept[history], 1e-9) / max(1 - lower[history], 1e-9)


def write_arpa(model: LanguageModel) -> Iterator[str]:
    """Yield the lines of the model in ARPA form."""
    sizes = range(1, model.order + 1)
    grams = {size: sorted(g for g in model.probability if len(g) == size) for size in sizes}
    if (START,) not in model.probability:
        grams[1].insert(0, (START,))
    yield "\\data\\"
    for size in sizes:
        yield f"ngram {size}={len(grams[size])}"
    for size in sizes:
        yield ""
        yield f"\\{size}-grams:"
        for gram in grams[size]:
            value = model.probability.get(gram, -99 * math.log(10)) / math.log(10)
            line = f"{value:.4f}\t{' '.join(gram)}"
            weight = model.backoff.get(gram)
            yield line if weight is None else f"{line}\t{weight / math.log(10):.4f}"
    yield ""
    yield "\\end\\"


def read_arpa(lines: Iterable[str], *, where: str) -> LanguageModel:
    """Read a model in ARPA form.

    Raises:
        ModelError: the lines are not ARPA.
    """
    probability: dict[Gram, float] = {}
    backoff: dict[Gram, float] = {}
    size = 0
    for number, line in enumerate(map(str.strip, lines), start=1):
        if line.startswith("\\") and line.endswith("-grams:"):
            size = int(line[1:-7])
        elif line == "\\end\\":
            break
        elif size and line:
            fields = line.split()
            gram = tuple(fields[1 : size + 1])
            try:
                if gram != (START,):
                    probability[gram] = float(fields[0]) * math.log(10)
                if len(fields) > size + 1:
                    backoff[gram] = float(fields[size + 1]) * math.log(10)
            except (IndexError, ValueError) as error:
                raise ModelError(
                    f"line {number} is not an n-gram: {line!r}",
                    where=where,
                    remedy="Build the model again",
                ) from error
    if not probability:
        raise ModelError("no n-grams in it", where=where, remedy="Build the model again")
    return LanguageModel(probability=probability, backoff=backoff)
