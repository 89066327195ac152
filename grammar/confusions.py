"""Confusions learnt from a recogniser: which words it wrote for which.

Said and heard words are aligned (RapidFuzz, Levenshtein over words); every stretch that differs and
holds no number is one confusion.  What a table may not hold is left out: see `usable`.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rapidfuzz.distance import Levenshtein

from grammar.lexicon import Lexicon, load_lexicon

__all__ = ["Confusion", "as_toml", "learn_confusions", "usable"]

WORDS_MAX = 3
"""A longer stretch that differs is a lost part of the note, and no confusion of a term."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Confusion:
    """Words said, the words heard for them, and how often."""

    said: str
    heard: str
    count: int


def learn_confusions(pairs: Iterable[tuple[Sequence[str], Sequence[str]]]) -> list[Confusion]:
    """Count what was heard for what, the commonest first.  pairs: (said words, heard words)."""
    counts: Counter[tuple[str, str]] = Counter()
    for said, heard in pairs:
        for op in Levenshtein.opcodes(said, heard):
            if op.tag != "replace":
                continue
            before, after = said[op.src_start : op.src_end], heard[op.dest_start : op.dest_end]
            if len(before) <= WORDS_MAX and len(after) <= WORDS_MAX:
                counts[" ".join(before), " ".join(after)] += 1
    return [Confusion(said=s, heard=h, count=n) for (s, h), n in counts.most_common()]


def usable(confusion: Confusion, lexicon: Lexicon | None = None) -> bool:
    """Whether a confusion may stand in confusions.toml.

    Never with a number on either side, and not where the heard words are a phrase of their own:
    what was really said must never be turned into something else.
    """
    lexicon = lexicon or load_lexicon()
    words = f"{confusion.said} {confusion.heard}".split()
    known = lexicon.terms.get(confusion.heard)
    return (
        lexicon.number_words.isdisjoint(words)
        and "[unk]" not in words
        and (known is None or bool(known.meant))
        and confusion.heard not in lexicon.fillers
    )


def as_toml(confusions: Iterable[Confusion], source: str) -> str:
    """Write rows for confusions.toml."""
    rows = (
        f'[[confusion]]\nheard = "{c.heard}"\nmeant = "{c.said}"\nsource = "{source}"\n'
        for c in confusions
    )
    return "".join(rows)
