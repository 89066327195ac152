"""Reading notes in the order in which they were spoken, and queueing their entries.

The animal carries from note to note within a visit. A note that comes in late, or an animal that
was corrected, changes what the notes after it were handed; those that no person has touched are
then read again.
"""

import logging
from typing import Any

from sqlmodel import Session

from dictate.notes.taught import taught_to
from dictate.notes.understanding import Context, lexicon_version, understand
from dictate.settings import Settings
from dictate.store.database import Database
from dictate.store.history import changing, new_act, tell
from dictate.store.queries import (
    clips_in_order,
    entries_of_note,
    heard_reading,
    note_of_clip,
    roster_of,
    visits_with_work,
)
from dictate.store.tables import Entry, EntryState, Note, NoteState, Reading, Visit
from grammar import Carry, Word

__all__ = ["PROGRAM", "context_of", "queue_entries", "read_notes", "read_visit"]

log = logging.getLogger(__name__)

PROGRAM = "dictate"
"""Who did it, in the history, when no person did."""


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
        context = context_of(session, session.get_one(Visit, visit_id), settings)
        clips = clips_in_order(session, visit_id)
    carry = Carry()
    done = 0
    for clip in clips:
        with database.writing() as session:
            note = note_of_clip(session, clip.id or 0)
            if note is not None and _wants_reading(session, note, carry):
                _read(session, note, context, carry)
                done += 1
        if note is None:  # not heard yet: it may name another animal
            carry = Carry(seen=carry.seen)
            continue
        with database.writing() as session:
            note = session.get_one(Note, note.id)
            if note.state == NoteState.PARSED:
                queue_entries(session, note)
            carry = _handed_on(session, note, carry)
    return done


def queue_entries(session: Session, note: Note, *, who: str = PROGRAM) -> list[Entry]:
    """Put the entries of a note's newest reading into the queue, in place of its waiting ones."""
    reading = heard_reading(session, note.id or 0)
    if reading is None:
        raise ValueError(f"note {note.id} was not read yet")
    act = new_act()
    old = {entry.position: entry for entry in entries_of_note(session, note.id or 0)}
    for position, content in enumerate(reading.entries):
        entry = old.pop(position, None)
        if entry is None:
            _add(session, note, position, content, who=who, act=act)
        elif entry.state == EntryState.WAITING and entry.content != content:
            with changing(session, entry, kind="read again", who=who, act=act):
                entry.content = content
    for entry in old.values():
        if entry.state == EntryState.WAITING:
            with changing(session, entry, kind="read again", who=who, act=act):
                entry.state, entry.reason = EntryState.REJECTED, "gone when the note was read again"
    note.state = NoteState.WAITING
    return entries_of_note(session, note.id or 0)


def _add(
    session: Session, note: Note, position: int, content: dict[str, Any], *, who: str, act: str
) -> None:
    entry = Entry(note_id=note.id or 0, visit_id=note.visit_id, position=position, content=content)
    session.add(entry)
    session.flush()
    tell(session, entry, kind="queued", who=who, act=act, before=None)


def _wants_reading(session: Session, note: Note, carry: Carry) -> bool:
    if note.state == NoteState.HEARD:
        return True
    if note.state != NoteState.WAITING:
        return False
    reading = heard_reading(session, note.id or 0)
    return (
        reading is not None
        and reading.carried_in != carry.animal
        and not any(entry.touched for entry in entries_of_note(session, note.id or 0))
    )


def _read(session: Session, note: Note, context: Context, carry: Carry) -> None:
    hearings = [[Word(**word) for word in words] for words in (note.words, *note.alternatives)]
    understood = understand(hearings, context, carry=carry)
    again = heard_reading(session, note.id or 0) is not None
    session.add(
        Reading(
            note_id=note.id or 0,
            origin="again" if again else "heard",
            who=PROGRAM,
            lexicon=lexicon_version(),
            carried_in=carry.animal,
            carried_out=understood.carried_out,
            content=understood.content,
            entries=[entry.model_dump(mode="json") for entry in understood.entries],
        )
    )
    note.state = NoteState.PARSED
    log.info(
        "read note=%s again=%s entries=%d marked=%d leftover=%d",
        note.id, again, len(understood.entries),
        sum(bool(entry.marks) for entry in understood.entries), len(understood.content["leftover"]),
    )  # fmt: skip


def _handed_on(session: Session, note: Note, carry: Carry) -> Carry:
    """What the next note gets; a person's correction of the animal goes along."""
    reading = heard_reading(session, note.id or 0)
    if reading is None:
        return carry
    entries = [
        entry
        for entry in entries_of_note(session, note.id or 0)
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
    return Carry(animal=on, seen=tuple(dict.fromkeys((*carry.seen, *animals))))
