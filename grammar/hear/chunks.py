"""Words to chunks: lexicon phrases, numbers, units, fillers; each word in one chunk."""

from collections.abc import Sequence
from dataclasses import dataclass

from grammar.hear.number_runs import IDENTIFIER_CUES, find_runs
from grammar.hear.phrases import Cover
from grammar.lexicon.lexicon import Lexicon, Term

__all__ = ["Chunk", "cue_before", "is_plain", "number_chunk", "to_chunks"]

_LETTERS_MIN = 5
"""Letters of an adverb that is known by its ending."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chunk:
    """A stretch of words with one meaning."""

    tag: str
    first: int
    last: int
    text: str
    term: Term | None = None
    count: bool = False
    """A number word cut off the animal's number before it, as the count of what follows; or a number
    whose last word may be such a count."""

    @property
    def unsure(self) -> bool:
        """Whether it is a hedge: "looks like", "I'd say"."""
        return self.tag == "FILL" and self.term is not None and self.term.row.hedge


def to_chunks(words: Sequence[str], cover: Cover, lexicon: Lexicon) -> list[Chunk]:
    """Join number words, tag the rest; every word is in exactly one chunk.

    Where two numbers meet is found afterwards: counts.py.
    """
    free = [False] * len(words)
    for first, _, term in cover:
        free[first] = term is None
    runs = dict(find_runs(words, free, lexicon.numbers))
    chunks: list[Chunk] = []
    skip = 0
    for first, last, term in cover:
        if first < skip:
            continue
        if first in runs:
            skip = runs[first]
            named = cue_before(chunks) in IDENTIFIER_CUES  # "cow oh" is number nought
            sigh = list(words[first:skip]) == ["oh"] and chunks and not named
            tag = "FILL" if sigh else "NUM"
            chunks.append(_chunk(words, tag, first, skip))
        else:
            tag = term.tag if term is not None else _word_tag(words, first, lexicon)
            chunks.append(_chunk(words, tag, first, last, term))
    return chunks


def _chunk(
    words: Sequence[str], tag: str, first: int, last: int, term: Term | None = None
) -> Chunk:
    return Chunk(tag=tag, first=first, last=last, text=" ".join(words[first:last]), term=term)


def _word_tag(words: Sequence[str], at: int, lexicon: Lexicon) -> str:
    word, numbers = words[at], lexicon.numbers
    tables = (
        ("UNIT", numbers.units),
        ("TIMEUNIT", numbers.time_units),
        ("WEEKDAY", numbers.weekdays),
        ("ORDINAL", numbers.ordinals),
        ("MONTH", numbers.months),
        ("FILL", lexicon.fillers),
    )
    other = "FILL" if is_plain(words, at, lexicon) else "OTHER"
    return next((tag for tag, table in tables if word in table), other)


def cue_before(chunks: Sequence[Chunk]) -> str:
    """Return the tag of the nearest chunk before, past up to three fillers."""
    for chunk in chunks[:-5:-1]:
        if chunk.tag != "FILL":
            return chunk.tag
    return ""


def number_chunk(words: Sequence[str], first: int, last: int) -> Chunk:
    """Return the chunk of number words."""
    return _chunk(words, "NUM", first, last)


def is_plain(words: Sequence[str], at: int, lexicon: Lexicon) -> bool:
    """Whether a word that no phrase takes says nothing where it stands: "it came to nothing"."""
    word = words[at]
    if word in lexicon.plain_things:
        return True
    if len(word) >= _LETTERS_MIN and word.endswith(lexicon.plain_endings):
        return word not in lexicon.not_plain
    before = words[at - 1] if at else ""
    behind = words[at + 1] if at + 1 < len(words) else ""
    return any(
        before in after or behind in leads_to for after, leads_to in lexicon.plain.get(word, ())
    )
