"""What was said and is nowhere in the entry; one lesion that went to two feet said apart."""

from collections.abc import Iterator, Sequence

from grammar.checks.table import mark
from grammar.checks.things import Thing
from grammar.hear.identifiers import identifier_readings
from grammar.hear.words import runs
from grammar.lexicon.lexicon import Lexicon
from grammar.records import Entry, Mark, Question, Reading, Taken

__all__ = ["find_losses", "find_shared"]

_NUMBER_MIN = 2
"""Number words of a lost number: one alone is a count ("one wart"), or part of what was put right."""
_WRONG = "wrongcow: wrong cow"
"""The number behind it is the right animal's."""
_WHOLE = frozenset({"both", "the"})
_JOINS = frozenset({
    "and", "or", "then", "plus", "to", "both", "all", "also", "well", "except", "but", "bar", "n",
})  # fmt: skip
"""Words between two feet that have something together, or of which one is left out."""


def find_losses(
    reading: Reading, words: Sequence[str], lexicon: Lexicon
) -> Iterator[tuple[int, Mark]]:
    """Yield marks of numbers that were said and are in no entry, not left over and not put right."""
    end = len(words)
    taken = sum(one.last - one.first for one in reading.taken if one.last <= end)
    if not reading.entries or taken + len(reading.leftover) >= end:  # no two take the same word
        return
    kept = {
        i for one in (*reading.taken, *_corrections(reading)) for i in range(one.first, one.last)
    }
    kept.update(reading.leftover)
    named = {one.last for one in reading.taken if one.rule == _WRONG}
    for first, last in runs(set(range(end)) - kept):
        said = words[first:last]
        if (
            first not in named
            and len(said) >= _NUMBER_MIN
            and lexicon.number_words.issuperset(said)
        ):
            where = Question(check="animal-lost", what="", first=first, last=last)
            what = f"{' '.join(said)!r} was said, and nothing came of it"
            yield (
                _entry_at(reading, first),
                mark("animal-lost", what, where, identifier_readings(said, lexicon.numbers)[:2]),
            )


def _corrections(reading: Reading) -> Iterator[Taken]:
    for entry in reading.entries:
        for one in entry.corrections:
            yield Taken(first=one.first, last=one.last, rule="correction")


def _entry_at(reading: Reading, at: int) -> int:
    """Return the entry whose animal was the last named before a word."""
    position = 0
    for i, entry in enumerate(reading.entries):
        if entry.animal is not None and entry.animal.first <= at:
            position = i
    return position


def find_shared(
    reading: Reading, things: Sequence[Thing], words: Sequence[str]
) -> Iterator[tuple[int, Mark]]:
    """Yield marks of what was said once, of two feet that other words than "and" hold apart."""
    shown: set[tuple[str, str]] = set()
    for thing in things:
        feet = _said_apart(thing, reading, words)
        if thing.kind != "clean" and feet and feet not in shown:
            entry: Entry = reading.entries[thing.entry]
            if any(
                m.first < thing.last and thing.first < m.last and m.check == "either-or"
                for m in entry.marks
            ):
                continue
            shown.add(feet)
            heard, said = feet
            what = f"{thing.value} was said once: of {heard!r}, of {said!r}, or of both?"
            yield thing.entry, mark("foot-shared", what, thing, sorted(thing.feet))


def _said_apart(thing: Thing, reading: Reading, words: Sequence[str]) -> tuple[str, str] | None:
    spans = {(site.first, site.last) for site in thing.sites}
    if len(thing.feet) == 1 or len(spans) != 1:
        return None
    ((first, last),) = spans
    said = [
        one
        for one in reading.taken
        if first <= one.first and one.last <= last and one.rule.startswith(("foot", "half"))
    ]
    if len(said) != 2:
        return None
    one, other = said
    names = [{*words[foot.first : foot.last]} - _WHOLE for foot in said]
    if names[0] == names[1]:  # the same feet once more
        return None
    between = words[one.last : other.first]
    if not between or not _JOINS.isdisjoint(between):
        return None
    return " ".join(words[one.first : one.last]), " ".join(words[other.first : other.last])
