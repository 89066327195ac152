"""The language model: which word follows which in a note, as an n-gram model in ARPA form.

Every word is possible after every other.  An animal's number stands in it as the class `<animal>`,
which `dictate.decoder.word_graph` opens into the herd's numbers.
"""

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from dictate.errors import ModelError

ANIMAL = "<animal>"
START = "<s>"
END = "</s>"
FILLER = "[unk]"
"""The word that stands for anything which is not of the trade."""

Gram = tuple[str, ...]


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
