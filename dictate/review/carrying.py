"""After a fix of the animal: the notes behind it that named none take the right one over."""

from sqlmodel import Session, col, or_, select

from dictate.notes.reading_notes import read_visit
from dictate.settings import Settings
from dictate.store.database import Database
from dictate.store.tables import Entry, EntryState, Reading

__all__ = ["hand_on", "told"]


def hand_on(database: Database, settings: Settings, visit_id: int) -> int:
    """Read notes again whose animal came from one that a person changed; how many entries got another.

    Those that a person has touched are left alone. Call it once the fix is committed.
    """
    with database.reading() as session:
        before = _handed(session, visit_id)
    if not before:
        return 0
    read_visit(database, settings, visit_id)
    with database.reading() as session:
        after = _handed(session, visit_id)
    return sum(after.get(entry_id) != animal for entry_id, animal in before.items())


def told(count: int) -> str:
    """What a person is told of it, with a space in front; empty when nothing was read again."""
    if not count:
        return ""
    notes = (
        "note after it, which named no animal, goes"
        if count == 1
        else "notes after it, which named no animal, go"
    )
    return f" {count} {notes} with it."


def _handed(session: Session, visit_id: int) -> dict[int | None, str | None]:
    """Untouched entries that wait, with the animal they were handed by the note before, or none."""
    animal = col(Entry.content)["animal"].as_string()
    query = (
        select(Entry.id, animal)
        .join(Reading, col(Reading.note_id) == Entry.note_id)
        .where(
            Entry.visit_id == visit_id,
            Entry.state == EntryState.WAITING,
            col(Entry.touched).is_(False),
            or_(animal.is_(None), animal == Reading.carried_in),
        )
    )
    return dict(session.execute(query).all())
