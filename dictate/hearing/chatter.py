"""Talk that is not a note: hearing mostly other words, and no animal named."""

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from dictate.hearing.engine import FILLER
from grammar import Word, load_lexicon

__all__ = ["is_chatter", "without_chatter"]

_FILLERS_MIN = 2
_FILLER_SHARE_MIN = 1 / 3
"""Of the words heard; both fitted on read English and notes, see docs/explanation/hearing.md."""


def is_chatter(words: Sequence[Word]) -> bool:
    """Tell whether words are talk around the chute; a note that names an animal never is."""
    texts = [word.text for word in words]
    fillers = texts.count(FILLER)
    many = fillers >= _FILLERS_MIN and fillers >= _FILLER_SHARE_MIN * len(texts)
    return many and not _animal_words().intersection(texts)


def without_chatter(hearings: Sequence[Sequence[Word]]) -> list[tuple[Word, ...]]:
    """Return the hearings of one sound for reading; of chatter only the filler is left to read."""
    if not hearings or not is_chatter(hearings[0]):
        return [tuple(words) for words in hearings]
    return [tuple(replace(word, text=FILLER) for word in hearings[0])]


@lru_cache(maxsize=1)
def _animal_words() -> frozenset[str]:
    terms = load_lexicon().terms.values()
    return frozenset(term.phrase.split()[0] for term in terms if term.tag == "ANIMAL")
