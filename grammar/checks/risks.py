"""Where words that change what is said stand by something recorded, by risks.toml."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from grammar.checks.things import Thing
from grammar.lexicon.lexicon import Lexicon
from grammar.lexicon.schema import RiskRow
from grammar.records import Action, Entry, Finding, Mark, Reading, Slot, Taken

__all__ = ["Risk", "find_risks"]

_PHRASE_MAX = 5
"""Pieces that the words of a row may have been taken for at most."""
_ENDS = (
    "action", "animal by", "course", "followup", "gone", "lesion", "medicine", "no", "not", "object",
    "past", "stage", "status", "told", "undone",
)  # fmt: skip
"""What a word does not reach over, by the beginning of its rule."""
_TOLD = frozenset({"put", "stuck", "glued", "fixed"})
_TOLD_BEFORE = 3
"""Words between such a verb and the deed: "put the other block on"."""
_TOLD_REACH = 1
_ARTICLES = frozenset({"a", "an", "the", "her", "its", "his", "my", "that", "this", "any", "some"})
_CORRECTS = frozenset({"correction: correction", "wrongcow: wrong cow"})
_NEAR = 3
"""Words around a thing, or between a correction and what it put right, that are near."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Risk:
    """Words of a row where they were said, and the thing they threaten."""

    row: RiskRow
    thing: Thing
    first: int
    last: int
    heard: str
    part: bool
    """Whether the words are part of a recorded value themselves: "the vet put a block on"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Said:
    """Words of a row where they were said."""

    row: RiskRow
    first: int
    last: int
    heard: str
    part: bool
    before: Sequence[Taken]
    """What stands before, the nearest first."""
    behind: Sequence[Taken]


def find_risks(
    reading: Reading, things: Sequence[Thing], words: Sequence[str], lexicon: Lexicon
) -> Iterator[Risk]:
    """Yield the words near a thing that can change it; whether they did is not looked at."""
    for said in _said(reading, words, lexicon):
        if _is_harmless(said, words):
            continue
        for thing in _threatened(said, things):
            if _matters(said, thing, reading.entries[thing.entry], words):
                yield Risk(
                    row=said.row, thing=thing, first=said.first, last=said.last,
                    heard=said.heard, part=said.part,
                )  # fmt: skip
    yield from _inside(reading, things, words, lexicon)


# --- the words ------------------------------------------------------------------------------


def _said(reading: Reading, words: Sequence[str], lexicon: Lexicon) -> Iterator[_Said]:
    taken = _in_order(reading, len(words))
    rows, begins = lexicon.risk_words, lexicon.risk_begins
    for at, one in enumerate(taken):
        if words[one.first] not in begins and one.rule not in rows:
            continue
        end, last = at, one.first
        while end < min(at + _PHRASE_MAX, len(taken)) and taken[end].first == last:
            end, last = end + 1, taken[end].last
            heard = " ".join(words[one.first : last])
            alone = end == at + 1
            named, cued = rows.get(heard, ()), rows.get(one.rule, ()) if alone else ()
            part = bool(named) and _is_recorded(reading, one.first, last)
            for row in (*(() if part and alone else named), *cued):
                yield _Said(
                    row=row, first=one.first, last=last, heard=heard, part=part and not alone,
                    before=taken[:at][::-1], behind=taken[end:],
                )  # fmt: skip


def _in_order(reading: Reading, end: int) -> list[Taken]:
    """Return what took the words before a remark, and the words that nothing took."""
    taken = [one for one in reading.taken if one.last <= end]
    if reading.leftover:
        taken += [Taken(first=at, last=at + 1, rule="") for at in reading.leftover]
        taken.sort(key=lambda one: one.first)
    return taken


def _is_harmless(said: _Said, words: Sequence[str]) -> bool:
    row = said.row
    if said.heard in row.unless_heard:
        return True
    if said.last < len(words) and words[said.last] in row.unless_next:
        return True
    beside = [one.rule for one in (*said.before[:1], *said.behind[:1])]
    return "correction" in row.cues and not _CORRECTS.isdisjoint(beside)


def _is_recorded(reading: Reading, first: int, last: int) -> bool:
    """Whether words are part of a recorded value, or of what was put right."""
    return any(slot.first < last and first < slot.last for slot in _slots(reading.entries))


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


def _threatened(said: _Said, things: Sequence[Thing]) -> Iterator[Thing]:
    """Yield the nearest thing on each side where the row looks for one."""
    if said.row.stands in ("before", "beside"):
        yield from _nearest(said, said.behind, things)
    if said.row.stands in ("behind", "beside"):
        yield from _nearest(said, said.before, things)


def _nearest(said: _Said, order: Iterable[Taken], things: Sequence[Thing]) -> Iterator[Thing]:
    for one in order:
        if max(one.first - said.last, said.first - one.last) > said.row.reach:
            return
        thing = next((t for t in things if t.first < one.last and one.first < t.last), None)
        if thing is not None:
            kinds = said.row.kinds
            if thing.kind in said.row.threatens and (not kinds or thing.value in kinds):
                yield thing
            return
        if one.rule.startswith(_ENDS):
            return


def _matters(said: _Said, thing: Thing, entry: Entry, words: Sequence[str]) -> bool:
    """Whether the words can change the thing, as far as it, its feet and what stands near tell."""
    row = said.row
    apart = max(thing.first - said.last, said.first - thing.last)
    told = _is_told(thing, words)
    if told and (row.unless_told or (apart > _TOLD_REACH and not row.over_told)):
        return False
    if row.unless_told and thing.heard.split()[0].endswith("ed"):
        return False
    if row.joined and not _is_joined(said, thing, words):
        return False
    near = words[min(said.last, thing.last) : max(said.first, thing.last + _NEAR)]
    if not set(row.unless_near).isdisjoint(near):
        return False
    if "correction" in row.cues:
        first, last = said.first - _NEAR, said.last + _NEAR
        return not any(one.first <= last and first <= one.last for one in entry.corrections)
    return not row.of or _is_shared(said, thing, entry)


def _is_told(thing: Thing, words: Sequence[str]) -> bool:
    """Whether a deed is told as done: "put a block on", "put the block on"."""
    before = words[max(thing.first - _TOLD_BEFORE, 0) : thing.last]
    return thing.kind == "action" and not _TOLD.isdisjoint(before)


def _is_joined(said: _Said, thing: Thing, words: Sequence[str]) -> bool:
    """Whether the words and the thing are of one sentence: "threw her block", "the block fell"."""
    if said.first >= thing.last:
        return said.first - thing.last <= _TOLD_REACH
    return not _ARTICLES.isdisjoint(words[max(thing.first - 1, said.last) : thing.first + 1])


def _is_shared(said: _Said, thing: Thing, entry: Entry) -> bool:
    """Whether fewer feet have the thing than "both" or "all" may mean, or others than "only"."""
    named = _feet(entry)
    if len(named) == 1 or not thing.feet or named <= thing.feet:
        return False
    if said.row.of == "only":
        first, last = min(said.first, thing.first) - 2, max(said.last, thing.last) + _NEAR
        return not any(one.first <= last and first <= one.last for one in thing.sites)
    return said.row.of == "all" or len(thing.feet) == 1


def _feet(entry: Entry) -> set[str]:
    records: tuple[Finding | Action, ...] = (*entry.findings, *entry.actions)
    return {one.foot.value for one in records if one.foot}


def _inside(
    reading: Reading, things: Sequence[Thing], words: Sequence[str], lexicon: Lexicon
) -> Iterator[Risk]:
    """Yield actions that say "only" or "all" themselves, behind what was found on other feet."""
    for thing in things:
        if thing.kind != "action" or len(thing.feet) != 1:
            continue
        site = thing.sites[0]
        parted = any(site.last <= other.first < other.last <= thing.first for other in things)
        more = parted and _feet(reading.entries[thing.entry]) > thing.feet
        for at in (thing.first, thing.last - 1) if more else ():
            for row in lexicon.risk_words.get(words[at], ()):
                if row.of and thing.kind in row.threatens:
                    yield Risk(
                        row=row, thing=thing, first=at, last=at + 1, heard=words[at], part=False
                    )
