"""Claws by their sound: behind a foot, where a claw is said, "out or" is the outer and "in aside" the inside.

A recogniser writes little words there that mean nothing of their own, so nothing is missed and
nothing would ask.  What stands there is compared without its gaps with the claws, and is one only
before a lesion or a word for a claw.
"""

from collections.abc import Iterator, Sequence

from grammar.hear.phrases import Cover, Found
from grammar.hear.repair import gapless_distance
from grammar.lexicon.lexicon import Lexicon, Term, stand_in
from grammar.records import How

__all__ = ["hear_claws"]

_CLAWS = ("outer", "inner", "outside", "inside")
_DISTANCE_MAX = 0.26
"""How far the words may be from a claw: "out is", "dinner"; but not "in is"."""
_WORDS_MAX = 2
_EMPTY = frozenset({"FILL", "EITHER", "ON"})
"""Tags of words that may be the sound of a claw."""
_SIDES = frozenset({"near", "off", "left", "right"})
_NAMES = frozenset({"claw", "claws", "toe", "digit", "hoof"})


def hear_claws(words: Sequence[str], found: Found, cover: Cover, lexicon: Lexicon) -> bool:
    """Add the claws that are heard so to `found`; say whether any was added."""
    heard = list(_heard(words, cover, lexicon))
    for first, last, claw in heard:
        said = " ".join(words[first:last])
        term = stand_in(lexicon.terms[claw], said, How.REPAIRED)
        found[first] = [(last, term)]  # nothing of it means anything of its own
    return bool(heard)


def _heard(words: Sequence[str], cover: Cover, lexicon: Lexicon) -> Iterator[tuple[int, int, str]]:
    """Yield (first word, one past the last, claw)."""
    for at, (_, _, foot) in enumerate(cover):
        if foot is None or foot.tag != "FOOT":
            continue
        for count in range(_WORDS_MAX, 0, -1):
            said, after = cover[at + 1 : at + 1 + count], cover[at + 1 + count : at + 2 + count]
            if len(said) < count or not after or not _names_a_finding(words, after[0]):
                continue
            if not all(_is_empty(words[first], term, lexicon) for first, _, term in said):
                continue
            first, last = said[0][0], said[-1][1]
            far, claw = min(
                (gapless_distance(" ".join(words[first:last]), claw), claw) for claw in _CLAWS
            )
            if far <= _DISTANCE_MAX:
                yield first, last, claw
                break


def _is_empty(word: str, term: Term | None, lexicon: Lexicon) -> bool:
    """Whether a word means nothing of its own: no term, or one that only links."""
    if term is None:
        return word.isalpha() and word not in lexicon.number_words and word not in _SIDES
    return term.tag in _EMPTY


def _names_a_finding(words: Sequence[str], step: tuple[int, int, Term | None]) -> bool:
    first, _, term = step
    return words[first] in _NAMES or (term is not None and term.tag == "LESION")
