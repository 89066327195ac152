"""How much two stretches of words sound alike, by their letters."""

from jellyfish import metaphone
from rapidfuzz import fuzz

MISHEARD_MIN = 50.0
"""From here one may be a mis-hearing of the other (own examples: `wall sir` for ulcer 54, `foul` for outer 22)."""


def likeness(one: str, other: str) -> float:
    """0 to 100: the mean of two RapidFuzz ratios, of the letters without gaps and of their Metaphone keys."""
    mine, yours = one.replace(" ", ""), other.replace(" ", "")
    return (fuzz.ratio(mine, yours) + fuzz.ratio(metaphone(mine), metaphone(yours))) / 2
