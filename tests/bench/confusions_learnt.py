"""Confusions learnt from a recogniser: which words it wrote for which.

Said and heard words are aligned (RapidFuzz, Levenshtein over words); every stretch that differs and
holds no number is one confusion.  What a table may not hold is left out: see `usable`.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rapidfuzz.distance import Levenshtein

from grammar.lexicon.lexicon import REPAIRABLE, Lexicon
from grammar.lexicon.load import load_lexicon
from grammar.pieces import SIDES

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

    Never with a number, an animal's cue, a side or a claw on either side, and not where the heard
    words fill a slot of their own: what was really said must never be turned into something else.
    """
    lexicon = lexicon or load_lexicon()
    words = f"{confusion.said} {confusion.heard}".split()
    tags = {term.tag for word in words if (term := lexicon.terms.get(word))}
    return (
        lexicon.number_words.isdisjoint(words)
        and not any(map(str.isdecimal, words))
        and tags.isdisjoint({"ANIMAL", "CLAW"})
        and not SIDES.keys() & set(words)
        and confusion.said.rstrip("s") != confusion.heard.rstrip("s")
        and "[unk]" not in words
        and not lexicon.fills_a_slot(confusion.heard)
        and any(
            f" {confusion.said} " in f" {phrase} " and term.tag in REPAIRABLE
            for phrase, term in lexicon.terms.items()
        )
    )


def only_in_doubt(confusion: Confusion, lexicon: Lexicon | None = None) -> bool:
    """Whether the heard words can all be said, so that they are only doubted with a reason."""
    return (lexicon or load_lexicon()).vocabulary.issuperset(confusion.heard.split())


def as_toml(confusions: Iterable[Confusion], source: str, lexicon: Lexicon | None = None) -> str:
    """Write rows for confusions.toml."""
    rows = (
        f'[[confusion]]\nheard = "{c.heard}"\nmeant = "{c.said}"\nsource = "{source}"\n'
        f"times = {c.count}\n" + "only_in_doubt = true\n" * only_in_doubt(c, lexicon)
        for c in confusions
    )
    return "".join(rows)
