"""Which lost words are let pass: those of everyday speech where they stand among talk.

A word that everybody knows tells nothing of a foot, unless it stands where a word of the trade is
expected, sounds like one, or is among those that may tell something (`telling` in plain.toml).
How a foot looks (`looks`) is more of the same right behind what was found on it.
"""

from grammar.checks.table import Facts
from grammar.hear.repair import nearest_sound
from grammar.pieces import Filler, Leftover, Lesion, Piece, Region, Tissue, is_clean

__all__ = ["is_quiet"]

SOUND_MIN = 0.2
"""How far a lost word must be from every word of the trade by sound."""
LETTERS_MIN = 5
"""Of shorter words more were misheard: they need talk on either side."""
_LIGHT = (Filler, Leftover)
_FOUND = (Lesion, Tissue, Region)
"""What a lost word may tell more of."""


def is_quiet(first: int, last: int, said: str, facts: Facts) -> bool:
    """Whether the words from `first` to `last`, which no rule took, need no look."""
    lexicon, words = facts.lexicon, said.split()
    if not lexicon.everyday.issuperset(words) or not lexicon.number_words.isdisjoint(words):
        return False
    long = len(said) >= LETTERS_MIN
    before = next((p for p in reversed(facts.pieces) if p.last == first), None)
    behind = next((p for p in facts.pieces if p.first == last), None)
    if not isinstance(behind, _LIGHT) or not (long or isinstance(before, _LIGHT)):
        return False
    if not lexicon.telling.isdisjoint(words):
        return False
    if not lexicon.looks.isdisjoint(words) and not _tells_more(first, facts):
        return False
    return all(len(word) > 1 and nearest_sound(word, lexicon) > SOUND_MIN for word in words)


def _tells_more(first: int, facts: Facts) -> bool:
    """Whether nothing but talk stands between the words and something found before them."""
    piece: Piece | None = next(
        (p for p in reversed(facts.pieces) if p.last <= first and not isinstance(p, _LIGHT)), None
    )
    return isinstance(piece, _FOUND) and not is_clean(piece)
