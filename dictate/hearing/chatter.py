"""Talk that is not a note: hearing mostly other words, and no animal named, or a forced hearing."""

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np

from dictate.decoder.language import FILLER
from grammar import Word, load_lexicon

__all__ = ["is_chatter", "loudness_of_machines", "without_chatter"]

_FILLERS_MIN = 2
_FILLER_SHARE_MIN = 1 / 3
"""Of the words heard; both fitted on read English and notes, see docs/explanation/hearing.md."""
_FRAME = 480
"""Samples, 30 ms."""
_SPREAD_NOISY, _SPREAD_QUIET = 6.0, 12.0
"""dB from the quiet tenth of a sound's frames to the loud tenth, with machines as loud as the voice
and with machines 10 dB below it; without machines it is 20 and more."""


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


def loudness_of_machines(samples: np.ndarray) -> float:
    """How loud machines are beside the voice: 0 where they are well below it, 1 where they equal it."""
    whole = samples[: len(samples) // _FRAME * _FRAME].reshape(-1, _FRAME).astype(np.float64)
    if not len(whole):
        return 0.0
    low, high = np.percentile(10 * np.log10((whole**2).mean(axis=1) + 1.0), [10, 90])
    return float(np.interp(high - low, [_SPREAD_NOISY, _SPREAD_QUIET], [1, 0]))


@lru_cache(maxsize=1)
def _animal_words() -> frozenset[str]:
    terms = load_lexicon().terms.values()
    return frozenset(term.phrase.split()[0] for term in terms if term.tag == "ANIMAL")
