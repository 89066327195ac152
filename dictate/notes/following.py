"""What a note hands to the next one, and how entries that a person has touched follow it.

An entry that named no animal bears that of the entry before it, until a person chooses one. When
the one before changes, so does this: while it waits it takes the other animal; when it was
confirmed it waits again, for nobody has looked at it with that animal.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

from sqlmodel import Session

from dictate.entry.checking import context_marks_differ, rechecked
from dictate.entry.values import EntryValues
from dictate.hearing.talk import MAY_BE_TALK
from dictate.notes.context import Context
from dictate.store.history import HANDED_ON, changing
from dictate.store.record_entry import record_entry
from dictate.store.states import EntryState
from dictate.store.tables import Entry, Reading
from grammar import Carry

_DOUBTS = frozenset(
    {
        "alternatives-disagree", "animal-ambiguous", "animal-carried", "animal-not-on-roster", "eid-length",
        "number-by-sound", "number-or-count", "number-sounds-alike", "unsure-animal",
    }
)  # fmt: skip
"""Marks after which the number may be another one, for the notes that carry it over as well."""


def carry_after(reading: Reading | None, queued: Sequence[Entry], carry: Carry) -> Carry:
    """What the next note is handed, with what a person made of this one."""
    if reading is None:
        return carry
    entries = [
        entry
        for entry in queued
        # One that a person added and took back again was never said.
        if entry.state != EntryState.REJECTED or entry.position < len(reading.entries)
    ]
    live = [entry for entry in entries if entry.state != EntryState.REJECTED]
    if not entries:  # nothing was read, so that nobody could decide anything
        return _past(reading, carry)
    last = (live or entries)[-1]
    on = _handed_by(last, reading, carry)
    named = [animal for entry in live if (animal := entry.content.get("animal"))]
    # A person who chose the number has settled those doubts.
    waits = last.state == EntryState.WAITING
    doubted = waits and not _DOUBTS.isdisjoint(last.content.get("marks", ()))
    seen = tuple(dict.fromkeys((*carry.seen, *named)))
    return Carry(animal=on, seen=seen, doubted=on is not None and doubted)


def _handed_by(last: Entry, reading: Reading, carry: Carry) -> str | None:
    # A reading without entries named no animal.
    said = reading.entries[-1] if reading.entries else {}
    read = said.get("animal")
    if reading.carried_out is None and read is not None:
        return None  # nothing is handed on after words such as "next cow", whatever the entry says
    if animal := last.content.get("animal"):
        return str(animal)
    if read is not None or "next cow" in reading.said.commands:
        return None  # a person took it out, or it was never said
    if said.get("marks") == [MAY_BE_TALK]:
        return carry.animal
    return _past(reading, carry).animal


def _past(reading: Reading, carry: Carry) -> Carry:
    """What goes on past a reading that names no animal; words left over may have named another one."""
    return replace(carry, animal=None, doubted=False) if reading.said.leftover else carry


def context_changed(entries: Sequence[Entry], carry: Carry) -> bool:
    """Whether a note's marks about the notes before it are others than its reading gave."""
    for entry in entries:
        if entry.state == EntryState.REJECTED:
            continue
        values = entry.values
        if context_marks_differ(values, carry):
            return True
        carry = _within(values, carry)
    return False


def follow(
    session: Session,
    entries: Sequence[Entry],
    carry: Carry,
    context: Callable[[], Context],
    *,
    by: str,
    act: str,
    opening: str = HANDED_ON,
) -> None:
    """Let the entries of a note that a person has touched follow what it is handed now.

    `opening` is the kind of the event of a confirmed one that waits again.
    """
    for entry in entries:
        if entry.state == EntryState.REJECTED:
            continue
        values = entry.values
        now = values
        if values.carried and values.animal != carry.animal:
            only = (carry.animal,) if carry.animal else ()
            now = values.model_copy(update={"animal": carry.animal, "animal_candidates": only})
        waits = entry.state == EntryState.WAITING
        if now is not values or (waits and (entry.touched or context_marks_differ(values, carry))):
            at = context()
            now = rechecked(now, roster=at.roster, on=at.on, carry=carry)
        if entry.state == EntryState.WAITING and now != values:
            with changing(session, entry, kind=HANDED_ON, who=by, act=act):
                entry.values = now
        elif now.animal != values.animal:
            with changing(session, entry, kind=opening, who=by, act=act):
                entry.state, entry.values = EntryState.WAITING, now
                entry.confirmed_how = entry.confirmed_by = entry.confirmed_at = None
                record_entry(session, entry)
        carry = _within(now, carry)


def _within(values: EntryValues, carry: Carry) -> Carry:
    """What the next entry of the same note is handed."""
    if values.animal is None:
        return carry
    seen = tuple(dict.fromkeys((*carry.seen, values.animal)))
    return replace(
        carry, animal=values.animal, seen=seen, doubted=bool(values.carried) and carry.doubted
    )
