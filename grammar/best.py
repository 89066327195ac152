"""The best whole reading among the recogniser's alternatives."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

from grammar.animals import Roster
from grammar.checks.table import mark
from grammar.lexicon import Lexicon
from grammar.parse import parse
from grammar.records import Carry, Entry, How, Reading, Word

__all__ = ["parse_best", "reading_rank"]

_IDENTITY = frozenset({"animal-missing", "animal-not-on-roster", "animal-ambiguous"})
"""Marks that say that the animal is not known for sure."""
ALTERNATIVES_MAX = 10
"""More alternatives than this are not looked at."""


def parse_best(
    alternatives: Sequence[Sequence[str | Word]],
    *,
    roster: Roster | None = None,
    on: date | None = None,
    carry: Carry | None = None,
    aliases: Mapping[str, str] | None = None,
    lexicon: Lexicon | None = None,
) -> Reading:
    """Parse each alternative (best first, as the recogniser gives them) and return the best reading.

    Where another alternative that was understood as well names other animals of the farm, the
    reading says so in its marks: an animal is never settled by the order of alternatives alone.
    """
    readings = [
        parse(words, roster=roster, on=on, carry=carry, aliases=aliases, lexicon=lexicon)
        for words in list(alternatives)[:ALTERNATIVES_MAX] or [()]
    ]
    best = min(range(len(readings)), key=lambda i: (*reading_rank(readings[i]), i))
    return _with_disagreement(readings[best], readings)


def reading_rank(reading: Reading) -> tuple[int, int, int, int]:
    """The sort key, smallest first: how much of the note is in doubt.

    1. entries whose animal is missing, not on the roster or ambiguous (or no entry at all);
    2. words left over;
    3. slots that had to be repaired;
    4. all other marks.
    """
    marks = [mark.check for entry in reading.entries for mark in entry.marks]
    doubtful = sum(check in _IDENTITY for check in marks) + (not reading.entries)
    repaired = sum(check == "repaired-term" for check in marks)
    return doubtful, len(reading.leftover), repaired, len(marks) - repaired


def _animals(reading: Reading) -> tuple[str, ...]:
    return tuple(entry.animal.value for entry in reading.entries if entry.animal is not None)


def _with_disagreement(best: Reading, readings: Sequence[Reading]) -> Reading:
    """Mark each entry for which an equally good reading names another animal."""
    entries: list[Entry] = []
    for position, entry in enumerate(best.entries):
        others = dict.fromkeys(
            reading.entries[position].animal.value
            for reading in readings
            if len(reading.entries) == len(best.entries)
            and reading_rank(reading)[0] == reading_rank(best)[0]
            and (found := reading.entries[position].animal) is not None
            and found.how is not How.CARRIED
            and entry.animal is not None
            and found.value != entry.animal.value
        )
        entries.append(_disagreeing(entry, tuple(others)) if others else entry)
    return replace(best, entries=tuple(entries))


def _disagreeing(entry: Entry, others: tuple[str, ...]) -> Entry:
    assert entry.animal is not None  # noqa: S101 - narrowed by the caller
    candidates = (entry.animal.value, *others)
    what = "also heard as " + ", ".join(others)
    return replace(
        entry,
        marks=(*entry.marks, mark("alternatives-disagree", what, entry.animal, candidates)),
        animal_candidates=tuple(dict.fromkeys((*entry.animal_candidates, *others))),
    )
