"""The best whole reading among the recogniser's alternatives."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

from grammar.checks.table import mark
from grammar.hear.animals import Roster
from grammar.join.second_look import animals_of
from grammar.parse import parse
from grammar.records import Carry, Entry, Reading, Word

ALTERNATIVES_MAX = 10
"""More alternatives than this are not looked at."""
_MARK = 0.2
_PLACE = 0.1
"""Tried on the development notes of two graphs; half or twice as much changes two entries of 135."""


def parse_best(
    alternatives: Sequence[Sequence[str | Word]],
    *,
    roster: Roster | None = None,
    on: date | None = None,
    carry: Carry | None = None,
    aliases: Mapping[str, str] | None = None,
) -> Reading:
    """Read each alternative, likeliest first, and return the best reading.

    Another alternative takes the place of the likeliest one only when it names the same animals: an
    animal is never chosen because its number happens to be on the roster.  Where another one names
    other animals of the farm, the reading says so in its marks and candidates.
    """
    readings = [
        parse(words, roster=roster, on=on, carry=carry, aliases=aliases)
        for words in list(alternatives)[:ALTERNATIVES_MAX] or [()]
    ]
    animals = animals_of(readings[0])
    same = [(at, one) for at, one in enumerate(readings) if animals_of(one) == animals]
    _, best = min(same, key=lambda ranked: _doubt(ranked[1], ranked[0]))
    return _with_disagreement(best, readings, roster)


def reading_rank(reading: Reading) -> tuple[bool, int, int, int]:
    """The sort key, smallest first: how much of the note is in doubt.

    1. nothing understood at all; 2. words left over; 3. terms repaired; 4. all other marks.
    """
    marks = [found.check for entry in reading.entries for found in entry.marks]
    repaired = marks.count("repaired-term")
    return not reading.entries, len(reading.leftover), repaired, len(marks) - repaired


def _doubt(reading: Reading, place: int) -> tuple[bool, float]:
    """The sort key among hearings, smallest first: each place further down has to be earned.

    A word left over or a repaired term counts one; any other mark less, since many are raised by
    what was said and not by how it was heard.
    """
    empty, leftover, repaired, marks = reading_rank(reading)
    return empty, leftover + repaired + _MARK * marks + _PLACE * place


def _with_disagreement(
    best: Reading, readings: Sequence[Reading], roster: Roster | None
) -> Reading:
    """Mark each entry for which another alternative names another animal of the farm."""
    entries: list[Entry] = []
    for position, entry in enumerate(best.entries):
        others = dict.fromkeys(
            animal
            for reading in readings
            if len(reading.entries) == len(best.entries)
            and (animal := animals_of(reading)[position]) is not None
            and animal != animals_of(best)[position]
            and (roster is None or animal in roster.numbers)
        )
        entries.append(_disagreeing(entry, tuple(others)) if others else entry)
    return replace(best, entries=tuple(entries))


def _disagreeing(entry: Entry, others: tuple[str, ...]) -> Entry:
    candidates = tuple(dict.fromkeys((*entry.animal_candidates, *others)))
    found = mark(
        "alternatives-disagree", "also heard as " + ", ".join(others), entry.animal, candidates
    )
    return replace(entry, marks=(*entry.marks, found), animal_candidates=candidates)
