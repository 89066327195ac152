"""A second line under the rules: words that change what is said, of which nothing came.

It understands no sentence.  It knows the words that deny, put off, look back, compare or share
(risks.toml), sees by `Reading.taken` where one stands by something recorded, and asks whether the
note reads the same without it: then no rule took account of the word, and the thing gets a mark.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

from grammar.checks.losses import find_losses, find_shared
from grammar.checks.table import mark
from grammar.checks.things import Thing, things_of
from grammar.lexicon.lexicon import Lexicon
from grammar.lexicon.schema import RiskRow
from grammar.records import Action, Entry, Finding, Mark, Reading, Slot, Taken

__all__ = ["cast_net"]

REREADS_MAX = 5
"""Readings of a note without a word at most; of a note with more such words each is marked."""
_ASKED = frozenset({
    "action-not-done", "contradiction", "copied", "denial-unused", "either-or", "follow-up-past",
    "foot-between", "said-and-denied", "said-of-past", "two-values",
})  # fmt: skip
"""Marks that ask already whether the thing is as it was recorded."""
_ALONE = "filler word"
_PARTS = frozenset({_ALONE, "on: on", "half: left"})
"""What the words of a phrase of several may have been taken for: "left them both on"."""
_PHRASE_MAX = 4
_ENDS = (
    "action", "animal", "course", "followup", "gone", "lesion", "medicine", "no", "not", "object",
    "past", "stage", "status", "told", "undone",
)  # fmt: skip
"""What a word does not reach over, by the beginning of its rule."""
_TOLD = frozenset({"put", "stuck", "glued", "fixed", "got"})
_BY_OTHERS = frozenset({"correction: correction", "wrongcow: wrong cow"})
_NEAR = 3
"""Words between a correction and another cue, or what it put right, at most."""
_PLACES = frozenset({"first", "last", "heard"})

Without = Callable[[int, int], Reading]
"""Reads the note without the words from the first to before the last."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Risk:
    """A word or phrase of risks.toml where it was said."""

    row: RiskRow
    first: int
    last: int
    heard: str
    before: int
    """Place in `taken` of what stands before."""
    after: int


def cast_net(
    reading: Reading, plain: Reading, words: Sequence[str], without: Without, lexicon: Lexicon
) -> Reading:
    """Return the reading with a mark on each thing that a word of which nothing came threatens.

    plain: the reading that `without` is compared with; words: as they were read.
    """
    marks: dict[int, list[Mark]] = {}
    things = things_of(reading)
    same = _Same(plain=plain, without=without)
    for position, found in (
        *(_unused(reading, things, same, words, lexicon) if things else ()),
        *find_losses(reading, words, lexicon),
        *find_shared(reading, things, words),
    ):
        marks.setdefault(position, []).append(found)
    if not marks:
        return reading
    entries = tuple(
        replace(entry, marks=tuple(dict.fromkeys((*entry.marks, *marks.get(position, ())))))
        for position, entry in enumerate(reading.entries)
    )
    return replace(reading, entries=entries)


def _unused(
    reading: Reading,
    things: Sequence[Thing],
    same: "_Same",
    words: Sequence[str],
    lexicon: Lexicon,
) -> Iterator[tuple[int, Mark]]:
    shown: set[Thing] = set()
    beside = (
        (risk, thing)
        for risk in _risks(reading, words, lexicon)
        for thing in _threatened(risk, reading, things)
        if _matters(reading.entries[thing.entry], risk, thing)
    )
    for risk, thing in (*beside, *_inside(things, reading, words, lexicon)):
        entry = reading.entries[thing.entry]
        if thing in shown or _is_asked(entry, risk, thing):
            continue
        if same.without(risk.first, risk.last):
            shown.add(thing)
            what = f"you said {risk.heard!r}: {risk.row.ask.format(thing=thing.value)}"
            yield thing.entry, mark("word-unused", what, thing)


# --- the words ------------------------------------------------------------------------------


def _risks(reading: Reading, words: Sequence[str], lexicon: Lexicon) -> Iterator[_Risk]:
    taken = [one for one in reading.taken if one.last <= len(words)]  # and not those of a remark
    rows, begins = lexicon.risk_words, lexicon.risk_begins
    recorded: set[int] | None = None
    for at, one in enumerate(taken):
        if words[one.first] not in begins and one.rule not in rows:
            continue
        if recorded is None:
            slots = _slots(reading.entries)
            recorded = {i for slot in slots for i in range(slot.first, slot.last)}
        for end in range(at + 1, _phrase_end(taken, at) + 1):
            last = taken[end - 1].last
            heard = " ".join(words[one.first : last])
            named = rows.get(heard, ()) if recorded.isdisjoint(range(one.first, last)) else ()
            for row in (*named, *(rows.get(one.rule, ()) if end == at + 1 else ())):
                risk = _Risk(
                    row=row, first=one.first, last=last, heard=heard, before=at - 1, after=end
                )
                if not _is_harmless(risk, words, taken):
                    yield risk


def _phrase_end(taken: Sequence[Taken], at: int) -> int:
    """Return one past the last word that may belong to a phrase of several from here on."""
    end = at + 1
    if taken[at].rule in _PARTS:
        while end < min(at + _PHRASE_MAX, len(taken)) and taken[end].rule in _PARTS:
            end += 1
    return end


def _is_harmless(risk: _Risk, words: Sequence[str], taken: Sequence[Taken]) -> bool:
    if risk.heard in risk.row.unless_heard:
        return True
    if risk.last < len(words) and words[risk.last] in risk.row.unless_next:
        return True
    beside = [taken[at].rule for at in (risk.before, risk.after) if 0 <= at < len(taken)]
    return not _BY_OTHERS.isdisjoint(beside) and not _BY_OTHERS.isdisjoint(
        f"{cue.replace(' ', '')}: {cue}" for cue in risk.row.cues
    )


def _slots(value: Any) -> Iterator[Slot[Any]]:
    """Return every slot, and every correction, inside entries, with words of their own."""
    if isinstance(value, tuple):
        for one in value:
            yield from _slots(one)
    elif is_dataclass(value) and not isinstance(value, (type, Mark)):
        if getattr(value, "first", -1) >= 0:
            yield value  # type: ignore[misc]
        else:
            for field in fields(value):
                yield from _slots(getattr(value, field.name))


# --- what they threaten ---------------------------------------------------------------------


def _threatened(risk: _Risk, reading: Reading, things: Sequence[Thing]) -> Iterator[Thing]:
    """Yield the nearest thing on each side where the row looks for one."""
    if risk.row.stands in ("before", "beside"):
        yield from _nearest(risk, reading.taken[risk.after :], things)
    if risk.row.stands in ("behind", "beside"):
        yield from _nearest(risk, reversed(reading.taken[: risk.before + 1]), things)


def _nearest(risk: _Risk, order: Iterable[Taken], things: Sequence[Thing]) -> Iterator[Thing]:
    for one in order:
        if max(one.first - risk.last, risk.first - one.last) > risk.row.reach:
            return
        thing = next((t for t in things if t.first < one.last and one.first < t.last), None)
        if thing is not None:
            kinds = risk.row.kinds
            if thing.kind in risk.row.threatens and (not kinds or thing.value in kinds):
                yield thing
            return
        if one.rule.startswith(_ENDS):
            return


def _is_asked(entry: Entry, risk: _Risk, thing: Thing) -> bool:
    """Whether a mark between the word and the thing, or on them, asks the same."""
    first, last = min(risk.first, thing.first), max(risk.last, thing.last)
    return any(m.check in _ASKED and m.first < last and first < m.last for m in entry.marks)


def _matters(entry: Entry, risk: _Risk, thing: Thing) -> bool:
    """Whether the word can change the thing, as far as the feet and the thing's own words tell."""
    row = risk.row
    if row.unless_told:
        verb = thing.heard.split()[0]
        return verb not in _TOLD and not verb.endswith("ed")
    if row.name == "put right":
        return not any(
            one.first <= risk.last + _NEAR and risk.first <= one.last + _NEAR
            for one in entry.corrections
        )
    if not row.of:
        return True
    named = _named(entry)
    if len(named) == 1 or not thing.feet or named <= thing.feet:
        return False
    if row.of == "only":
        first, last = min(risk.first, thing.first) - 2, max(risk.last, thing.last) + _NEAR
        return not any(one.first <= last and first <= one.last for one in thing.sites)
    return row.of == "all" or len(thing.feet) == 1


def _named(entry: Entry) -> set[str]:
    records: tuple[Finding | Action, ...] = (*entry.findings, *entry.actions)
    return {one.foot.value for one in records if one.foot}


def _inside(
    things: Sequence[Thing], reading: Reading, words: Sequence[str], lexicon: Lexicon
) -> Iterator[tuple[_Risk, Thing]]:
    """Yield actions that say "only" or "all" themselves, behind what was found on other feet."""
    for thing in things:
        if thing.kind != "action" or len(thing.feet) != 1:
            continue
        entry, (site, *_) = reading.entries[thing.entry], thing.sites
        parted = any(site.last <= other.first < other.last <= thing.first for other in things)
        for at in {thing.first, thing.last - 1} if parted else ():
            for row in lexicon.risk_words.get(words[at], ()):
                if row.of and thing.kind in row.threatens and _named(entry) > thing.feet:
                    yield (
                        _Risk(row=row, first=at, last=at + 1, heard=words[at], before=-1, after=-1),
                        thing,
                    )


# --- whether anything came of them ----------------------------------------------------------


class _Same:
    """Whether the note reads the same without a word."""

    def __init__(self, *, plain: Reading, without: Without) -> None:
        self._plain = plain
        self._without = without
        self._values: Any = None
        self._known: dict[tuple[int, int], bool] = {}

    def without(self, first: int, last: int) -> bool:
        if (first, last) not in self._known:
            if len(self._known) == REREADS_MAX:
                return True
            self._values = self._values or _values(self._plain.entries)
            other = _values(self._without(first, last).entries)
            self._known[first, last] = other == self._values
        return self._known[first, last]


def _values(value: Any) -> Any:
    """Return what is recorded and marked, without the places and words it was heard in."""
    if isinstance(value, tuple):
        return tuple(_values(one) for one in value)
    if isinstance(value, Mark):
        return value.check
    if is_dataclass(value) and not isinstance(value, type):
        return tuple(
            _values(getattr(value, field.name))
            for field in fields(value)
            if field.name not in _PLACES
        )
    return value
