"""A second line under the rules: words that change what is said, of which nothing came.

It understands no sentence.  It knows the words that deny, put off, look back, compare or share
(risks.toml), sees by `Reading.taken` where one stands by something recorded, and asks whether the
note reads the same without it: then no rule took account of the word, and the thing gets a mark.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import fields, is_dataclass, replace
from typing import Any

from grammar.checks.losses import find_losses, find_shared
from grammar.checks.risks import Risk, find_risks
from grammar.checks.table import mark, place_of
from grammar.checks.things import Thing, things_of
from grammar.lexicon.lexicon import Lexicon
from grammar.records import Entry, Mark, Reading

__all__ = ["ASKED", "cast_net"]

REREADS_MAX = 5
"""Readings of a note without some words at most; of a note with more such words each is marked."""
ASKED = frozenset({
    "action-not-done", "contradiction", "copied", "denial-unused", "either-or", "follow-up-past",
    "foot-between", "said-and-denied", "said-of-past", "two-values",
})  # fmt: skip
"""Marks that ask already whether the thing is as it was recorded."""
_PLACES = frozenset({"first", "last", "heard"})

Without = Callable[[int, int], Reading]
"""Reads the note without the words from the first to before the last."""


def cast_net(
    reading: Reading, plain: Reading, words: Sequence[str], without: Without, lexicon: Lexicon
) -> Reading:
    """Return the reading with a mark on each thing that words of which nothing came threaten.

    plain: the reading that `without` is compared with; words: as they were read.
    """
    marks: dict[int, list[Mark]] = {}
    things = things_of(reading)
    for position, found in (
        *(_unused(reading, things, words, _Same(plain, without), lexicon) if things else ()),
        *find_losses(reading, words, lexicon),
        *find_shared(reading, things, words),
    ):
        marks.setdefault(position, []).append(found)
    if not marks:
        return reading
    entries = tuple(
        replace(entry, marks=_with(entry.marks, marks.get(position, ())))
        for position, entry in enumerate(reading.entries)
    )
    return replace(reading, entries=entries)


def _with(marks: Sequence[Mark], more: Sequence[Mark]) -> tuple[Mark, ...]:
    """Return the marks with these among them, each once and in the table's order."""
    return tuple(sorted(dict.fromkeys((*marks, *more)), key=lambda one: place_of(one.check)))


def _unused(
    reading: Reading,
    things: Sequence[Thing],
    words: Sequence[str],
    same: "_Same",
    lexicon: Lexicon,
) -> Iterator[tuple[int, Mark]]:
    shown: set[Thing] = set()
    risks = list(find_risks(reading, things, words, lexicon))
    for risk in sorted(risks, key=_is_talk):  # what is telling is asked before mere talk
        thing = risk.thing
        if thing in shown or _is_asked(reading.entries[thing.entry], risk):
            continue
        if same.without(risk):
            shown.add(thing)
            what = f"you said {risk.heard!r}: {risk.row.ask.format(thing=thing.value)}"
            yield thing.entry, mark("word-unused", what, thing)


def _is_talk(risk: Risk) -> bool:
    return bool(risk.row.talk_but)


def _is_asked(entry: Entry, risk: Risk) -> bool:
    """Whether a mark between the words and the thing, or on them, asks the same."""
    first, last = min(risk.first, risk.thing.first), max(risk.last, risk.thing.last)
    return any(m.check in ASKED and m.first < last and first < m.last for m in entry.marks)


class _Same:
    """Whether the note reads the same without some words."""

    def __init__(self, plain: Reading, without: Without) -> None:
        self._plain = plain
        self._without = without
        self._others: dict[tuple[int, int], Reading] = {}

    def without(self, risk: Risk) -> bool:
        """Compare all, or the thing alone where the words are a recorded value themselves."""
        place = risk.first, risk.last
        if place not in self._others:
            if len(self._others) == REREADS_MAX:
                return True
            self._others[place] = self._without(*place)
        other = self._others[place]
        if risk.part:
            now = {(t.kind, t.value, t.feet) for t in things_of(other)}
            return (risk.thing.kind, risk.thing.value, risk.thing.feet) in now
        return bool(_values(other.entries) == _values(self._plain.entries))


def _values(value: Any) -> Any:
    """Return what is recorded and asked, without the places and words it was heard in."""
    if isinstance(value, tuple):
        kept = (one for one in value if not isinstance(one, Mark) or one.check in ASKED)
        return tuple(_values(one) for one in kept)
    if isinstance(value, Mark):
        return value.check
    if is_dataclass(value) and not isinstance(value, type):
        return tuple(
            _values(getattr(value, field.name))
            for field in fields(value)
            if field.name not in _PLACES
        )
    return value
