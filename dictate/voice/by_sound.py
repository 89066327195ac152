"""Compare what was heard with what was said by its sounds: "offside" is "off side", "fore" is "four".

A voice is learnt from sound. Which of two spellings is written, the language model decides.
"""

import itertools
from collections.abc import Sequence

from rapidfuzz.distance import Levenshtein

from dictate.voice.sounds import sounds_of


def wrong_words(said: Sequence[str], heard: Sequence[str]) -> int:
    """How many words were heard as what sounds otherwise, and how many were made up between them.

    The sounds of both are aligned; a word of which a sound was lost, changed or broken up is wrong.
    """
    spoken, taken = _sounds(said), _sounds(heard)
    ends = list(itertools.accumulate(map(len, spoken)))
    word_of = [at for at, sounds in enumerate(spoken) for _ in sounds]
    wrong: set[int] = set()
    between: set[int] = set()
    steps = Levenshtein.editops(list(itertools.chain(*spoken)), list(itertools.chain(*taken)))
    for step in steps:
        if step.tag == "insert" and (step.src_pos == 0 or step.src_pos in ends):
            between.add(step.src_pos)
        else:
            wrong.add(word_of[step.src_pos])
    beside = {ends[at] for at in wrong} | {ends[at] - len(spoken[at]) for at in wrong}
    return len(wrong) + len(between - beside)


def _sounds(words: Sequence[str]) -> list[tuple[object, ...]]:
    """The sounds of each word in its first pronunciation; a word that has none is one of its own."""
    sounded, _ = sounds_of(words)
    return [ways[0] if ways else (word,) for word, ways in zip(words, sounded, strict=True)]
