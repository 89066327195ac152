"""What does not add up in a reading: words left over, slots that hang in the air, odd little words."""

from collections.abc import Set as AbstractSet

from grammar.records import Mark, Reading

__all__ = ["FOOTLESS", "HANGING", "ODD", "doubt", "hanging", "marked"]

HANGING = frozenset({"detail-without-lesion", "material-without-action", "time-without-follow-up"})
"""Marks of slots that hang in the air: what they belong to was misheard."""
FOOTLESS = frozenset({"foot-missing"})
"""Mark of a lesion whose foot may be among the words: "right hi and"."""
ODD = frozenset({"odd-word"})
"""Mark of a little word that makes no sense; only what a recogniser was heard to write so is tried there."""


def doubt(reading: Reading) -> int:
    """Return how many words and slots of a reading do not fit in."""
    return len(reading.leftover) + len(marked(reading, HANGING | FOOTLESS | ODD))


def hanging(reading: Reading) -> int:
    """Return how many slots of a reading hang in the air."""
    return len(marked(reading, HANGING | FOOTLESS))


def marked(reading: Reading, checks: AbstractSet[str]) -> list[Mark]:
    """Return the marks of these checks, in order."""
    return [mark for entry in reading.entries for mark in entry.marks if mark.check in checks]
