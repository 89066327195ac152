"""Reading notes in the order in which they were spoken, and queueing their entries.

The animal carries from note to note within a visit. A note that comes in late, or an animal that
was corrected, changes what the notes after it were handed; those that no person has touched are
then read again. A note that only corrects the one before changes that one, while it waits.
"""

import logging
from collections.abc import Sequence
from dataclasses import replace

from sqlmodel import Session

from dictate.hearing import Fit
from dictate.hearing.talk import usual_fit
from dictate.notes.correcting import before_of, correct, judged, reached
from dictate.notes.queueing import PROGRAM, queue_entries, write_reading
from dictate.notes.reaching_back import Before, going_on
from dictate.notes.taught import taught_to
from dictate.notes.understanding import Context, understand
from dictate.settings import Settings
from dictate.store.database import Database
from dictate.store.queries import (
    clips_in_order,
    entries_of_note,
    fits_so_far,
    heard_reading,
    note_of_clip,
    roster_of,
    visits_with_work,
)
from dictate.store.tables import Entry, EntryState, Note, NoteState, Reading, Visit
from grammar import Carry

__all__ = ["PROGRAM", "context_of", "queue_entries", "read_notes", "read_visit"]

log = logging.getLogger(__name__)

_DOUBTS = frozenset(
    {
        "alternatives-disagree", "animal-ambiguous", "animal-carried", "animal-not-on-roster", "eid-length",
        "number-sounds-alike", "unsure-animal",
    }
)  # fmt: skip
"""Marks after which the number may be another one, for the notes that carry it over as well."""


def context_of(session: Session, visit: Visit, settings: Settings) -> Context:
    """What the grammar may know at a visit."""
    return Context(
        roster=roster_of(session, visit.farm_id),
        on=visit.date,
        aliases=taught_to(session, settings, visit.trimmer_id),
        intervals=settings.intervals,
    )


def read_notes(database: Database, settings: Settings) -> int:
    """Read every heard note of this trimmer and queue its entries; the number of notes read."""
    with database.reading() as session:
        visits = visits_with_work(session, trimmer=settings.trimmer)
    return sum(read_visit(database, settings, visit.id or 0) for visit in visits)


def read_visit(database: Database, settings: Settings, visit_id: int) -> int:
    """Read the notes of one visit in order, each stage of each note committed by itself."""
    with database.reading() as session:
        visit = session.get_one(Visit, visit_id)
        usual = usual_fit(Fit(**fit) for fit in fits_so_far(session, visit))
        context = replace(context_of(session, visit, settings), usual_fit=usual)
        clips = clips_in_order(session, visit_id)
    carry = Carry()
    before: Before | None = None
    done = 0
    for clip in clips:
        with database.writing() as session:
            note = note_of_clip(session, clip.id or 0)
            was = heard_reading(session, note.id or 0) if note else None
            found = reached(before, clip, note, was, context) if note and before else None
            if note is not None and before is not None and found is not None:
                done += correct(session, before, note, found, carry)
                base = before.note_id
                carry = _handed_on(
                    heard_reading(session, base), entries_of_note(session, base), before.carry
                )
                before = going_on(before, found)
                continue
            fresh = note is not None and _wants_reading(session, note, was, carry)
            if note is not None and fresh:
                _read(session, note, context, carry)
                done += 1
        if note is None:  # not heard yet: it may name another animal
            carry, before = Carry(seen=carry.seen), None
            continue
        with database.writing() as session:
            note = session.get_one(Note, note.id)
            if note.state == NoteState.PARSED:
                queue_entries(session, note)
            reading = heard_reading(session, note.id or 0)
            entries = entries_of_note(session, note.id or 0)
            before = before_of(clip, note, reading, entries, carry, fresh=fresh)
            carry = _handed_on(reading, entries, carry)
    return done


def _wants_reading(session: Session, note: Note, reading: Reading | None, carry: Carry) -> bool:
    if note.state == NoteState.HEARD:
        return True
    if note.state != NoteState.WAITING:
        return False
    return (
        reading is not None
        and reading.carried_in != carry.animal
        and not any(entry.touched for entry in entries_of_note(session, note.id or 0))
    )


def _read(session: Session, note: Note, context: Context, carry: Carry) -> None:
    understood = understand(judged(note, context), context, carry=carry)
    again = heard_reading(session, note.id or 0) is not None
    write_reading(session, note, understood, carry, origin="again" if again else "heard")
    log.info(
        "read note=%s again=%s entries=%d marked=%d leftover=%d",
        note.id, again, len(understood.entries),
        sum(bool(entry.marks) for entry in understood.entries), len(understood.content["leftover"]),
    )  # fmt: skip


def _handed_on(reading: Reading | None, queued: Sequence[Entry], carry: Carry) -> Carry:
    """What the next note gets; a person's correction of the animal goes along."""
    if reading is None:
        return carry
    entries = [
        entry
        for entry in queued
        # One that a person added and took back again was never said.
        if entry.state != EntryState.REJECTED or entry.position < len(reading.entries)
    ]
    animals = [
        animal
        for entry in entries
        if entry.state != EntryState.REJECTED and (animal := entry.content.get("animal"))
    ]
    # Nothing is handed on after words such as "next cow", whatever the entry says.
    ended = reading.carried_out is None and reading.entries[-1].get("animal") is not None
    on = reading.carried_out
    if entries[-1].touched and not ended:
        on = entries[-1].content.get("animal") or on
    last = entries[-1]
    doubted = (
        last.state == EntryState.WAITING
        and not last.touched
        and not _DOUBTS.isdisjoint(last.content.get("marks", ()))
    )
    seen = tuple(dict.fromkeys((*carry.seen, *animals)))
    return Carry(animal=on, seen=seen, doubted=on is not None and doubted)
