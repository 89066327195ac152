"""Doubtful notes are heard again by the second listener, one by one, while a person reviews others.

What it heard is kept with the note, and the note is read anew with it: a doubt may go, and its words
are offered.  Notes that a person has a hand in are left alone, and so is the one being looked at.
"""

import logging
from collections.abc import Callable, Collection
from dataclasses import asdict

from sqlmodel import Session, col, select

from dictate.errors import SoundError
from dictate.hearing import Engine
from dictate.notes.reading_notes import read_visit
from dictate.settings import Settings
from dictate.sound import read_sound
from dictate.store.clips import entries_of_note, kept_path
from dictate.store.database import Database
from dictate.store.states import EntryState, NoteState
from dictate.store.tables import Clip, Entry, Note, Visit

log = logging.getLogger(__name__)

HEARD_DOUBTFULLY = frozenset(
    {
        "alternatives-disagree", "animal-ambiguous", "animal-missing", "heard-otherwise", "leftover-words",
        "may-be-talk", "nothing-understood", "nothing-to-record", "remark-spoken", "repaired-term",
        "unsure", "unsure-animal", "unsure-word",
    }
)  # fmt: skip
"""Marks of what another pair of ears may settle."""


def next_doubtful(session: Session, *, besides: Collection[int] = ()) -> Note | None:
    """The note to be heard again next, the newest visit's first; None when there is none.

    Args:
        session: An open session.
        besides: The entries that people look at: their notes are left alone meanwhile.
    """
    query = (
        select(Note, Entry)
        .join(Entry, col(Entry.note_id) == Note.id)
        .join(Visit, col(Visit.id) == Note.visit_id)
        .where(
            Note.state == NoteState.WAITING,
            col(Note.again).is_(None),
            col(Note.has_speech).is_(True),
            Entry.state == EntryState.WAITING,
        )
        .order_by(col(Visit.date).desc(), col(Note.id))
    )
    for note, entry in session.exec(query):
        doubtful = not HEARD_DOUBTFULLY.isdisjoint(entry.content["marks"])
        if doubtful and _is_free(session, note, besides):
            return note
    return None


def hear_again(
    database: Database,
    settings: Settings,
    second: Engine,
    note_id: int,
    *,
    looked_at: Callable[[], Collection[int]] = tuple,
) -> bool:
    """Hear a note once more and read it anew with what was heard; whether it could be heard.

    Where a person took the note in hand meanwhile, what was heard is kept and changes nothing.
    `looked_at` gives the entries that people look at by then.
    """
    with database.reading() as session:
        clip = session.get_one(Clip, session.get_one(Note, note_id).clip_id)
    try:
        heard = second.hear(read_sound(kept_path(settings, clip)))
        words = [asdict(word) for word in heard.words]
    except SoundError as error:  # its sound was forgotten, or cleared away
        log.info("cannot hear again: %s", error.line)
        words = []
    about = second.describe()
    with database.writing() as session:
        note = session.get_one(Note, note_id)
        note.again = {"by": f"{about.engine} {about.version}, {about.model}", "words": words}
        if words and _is_free(session, note, looked_at()):
            note.state = NoteState.HEARD  # as it was before it was read
        visit_id = note.visit_id
    read_visit(database, settings, visit_id)
    log.info("heard again note=%s words=%d", note_id, len(words))
    return bool(words)


def _is_free(session: Session, note: Note, besides: Collection[int]) -> bool:
    """Whether nobody decided, changed or looks at any entry of a note."""
    entries = entries_of_note(session, note.id)
    return not any(
        entry.touched or entry.id in besides or entry.state != EntryState.WAITING
        for entry in entries
    )
