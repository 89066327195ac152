"""Choosing among the hearings of one note: parse each, take the one with the best whole reading."""

from collections.abc import Mapping, Sequence
from datetime import date

from grammar.animals import Roster
from grammar.parse import parse
from grammar.records import Carry, Reading, Word

__all__ = ["parse_best"]


def parse_best(
    alternatives: Sequence[Sequence[str | Word]],
    *,
    roster: Roster | None = None,
    on: date | None = None,
    carry: Carry | None = None,
    aliases: Mapping[str, str] | None = None,
) -> Reading:
    """Read each hearing, likeliest first, and return the best reading.

    Another hearing takes the place of the likeliest one only when it leaves fewer words over and
    names the same animals: an animal is never chosen because its number happens to be on the roster.
    """
    first, *others = (
        parse(words, roster=roster, on=on, carry=carry, aliases=aliases)
        for words in (alternatives or [()])
    )
    same = [first, *(other for other in others if _animals(other) == _animals(first))]
    return min(same, key=_left_over)


def _left_over(reading: Reading) -> tuple[bool, int]:
    """Sort key: a note with entries before one without, then fewest words left over."""
    return not reading.entries, len(reading.leftover)


def _animals(reading: Reading) -> tuple[str | None, ...]:
    return tuple(entry.animal.value if entry.animal else None for entry in reading.entries)
