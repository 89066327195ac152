"""Writing readings, and queueing their entries."""

from collections.abc import Mapping
from typing import Any

from sqlmodel import Session

from dictate.hearing.talk import MAY_BE_TALK
from dictate.notes.understanding import Understood, lexicon_version
from dictate.store.clips import LEFT_ASIDE, TYPED, entries_of_note, heard_reading
from dictate.store.history import changing, new_act, tell
from dictate.store.states import EntryState, NoteState
from dictate.store.tables import Entry, Note, Reading
from grammar import Carry

PROGRAM = "dictate"
"""Who did it, in the history, when no person did."""
_GONE = "gone when the note was read again"
"""Why the program itself discarded an entry; it comes back once the note gives it again."""


def write_reading(
    session: Session,
    note: Note,
    understood: Understood,
    carry: Carry,
    *,
    origin: str,
    who: str = PROGRAM,
) -> None:
    """Add a reading of a note's words; after one of heard words `queue_entries` queues its entries."""
    session.add(
        Reading(
            note_id=note.id,
            origin=origin,
            who=who,
            lexicon=lexicon_version(),
            carried_in=carry.animal,
            carried_out=understood.carried_out,
            content=understood.said.model_dump(mode="json"),
            entries=[entry.model_dump(mode="json") for entry in understood.entries],
        )
    )
    if origin != TYPED:
        note.state = NoteState.PARSED
    session.flush()


def queue_entries(session: Session, note: Note, *, act: str | None = None) -> list[Entry]:
    """Put the entries of a note's newest reading into the queue, in place of its waiting ones."""
    reading = heard_reading(session, note.id)
    if reading is None:
        raise ValueError(f"note {note.id} was not read yet")
    act = act or new_act()
    old = {entry.position: entry for entry in entries_of_note(session, note.id)}
    for position, content in enumerate(reading.entries):
        entry = old.pop(position, None)
        if entry is None:
            _add(session, note, position, content, act=act)
        elif entry.reason == _GONE or (
            entry.state == EntryState.WAITING and entry.content != content
        ):
            with changing(session, entry, kind="read again", who=PROGRAM, act=act):
                entry.state, entry.reason, entry.content = EntryState.WAITING, None, content
    for entry in old.values():
        if entry.state == EntryState.WAITING:
            with changing(session, entry, kind="read again", who=PROGRAM, act=act):
                entry.state, entry.reason = EntryState.REJECTED, _GONE
    note.state = NoteState.WAITING
    _leave_talk_aside(session, note)
    return entries_of_note(session, note.id)


def _leave_talk_aside(session: Session, note: Note) -> None:
    """Take what is talk and nothing else out of the queue, where it came from a whole day's sound.

    It stays in the database with its sound and words, and can be brought back. A clip that a person
    made on purpose waits, whatever it is.
    """
    for entry in entries_of_note(session, note.id) if note.cut_out else ():
        if entry.version == 1 and is_only_talk(note, entry.content):
            with changing(session, entry, kind=LEFT_ASIDE, who=PROGRAM, act=new_act()):
                entry.state, entry.reason = EntryState.REJECTED, LEFT_ASIDE


def is_only_talk(note: Note, content: Mapping[str, Any]) -> bool:
    """Whether an entry of a whole day's sound is nothing but what may be talk."""
    return note.cut_out and content["marks"] == [MAY_BE_TALK]


def _add(session: Session, note: Note, position: int, content: dict[str, Any], *, act: str) -> None:
    entry = Entry(note_id=note.id, visit_id=note.visit_id, position=position, content=content)
    session.add(entry)
    session.flush()
    tell(session, entry, kind="queued", who=PROGRAM, act=act, before=None)
