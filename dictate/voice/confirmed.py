"""Confirmed notes as speech to learn from: only those whose words are certain.

A note's words are certain when a person confirmed what was read from them without a change, one
note at a time, or put the words themselves right. Notes with remarks, with talk, or confirmed in a
heap are left alone, and what is left is still compared with its sound before it teaches.
"""

from collections.abc import Iterator, Mapping
from itertools import islice
from typing import Any

from sqlmodel import Session, col, func, select

from dictate.decoder.language import FILLER
from dictate.measuring.tables import Utterance
from dictate.settings import Settings
from dictate.store.clips import TYPED, entries_of_note, kept_path, latest_reading
from dictate.store.database import Database
from dictate.store.states import EntryState, NoteState
from dictate.store.tables import Clip, Entry, Note, Reading, Trimmer, Visit

_SAID = (
    "animal",
    "findings",
    "actions",
    "follow_ups",
    "locomotion",
    "measures",
    "status",
    "denied",
)
"""Of an entry: what was said. Marks and how an animal was carried say nothing about words."""
_ONE_BY_ONE = "one"


def certain_notes(
    database: Database,
    settings: Settings,
    who: str,
    *,
    after: int = 0,
    at_most: int | None = None,
) -> list[Utterance]:
    """Return the person's notes that may teach, with the day as what is kept aside together.

    Only notes with an id above `after`, and no more than `at_most`, the oldest first.
    """
    with database.reading() as session:
        return list(islice(_certain(session, settings, who, after), at_most))


def newest_note(database: Database) -> int:
    """The id of the newest note; 0 when there is none."""
    with database.reading() as session:
        return session.exec(select(func.max(Note.id))).one() or 0


def _certain(session: Session, settings: Settings, who: str, after: int) -> Iterator[Utterance]:
    query = (
        select(Note, Clip, Visit)
        .join(Clip, col(Note.clip_id) == Clip.id)
        .join(Visit, col(Note.visit_id) == Visit.id)
        .join(Trimmer, col(Visit.trimmer_id) == Trimmer.id)
        .where(Trimmer.name == who, Note.state == NoteState.CONFIRMED, col(Note.id) > after)
        .order_by(col(Note.id))
    )
    for note, clip, visit in session.exec(query):
        path = kept_path(settings, clip)
        words = _words(session, note)
        if words and path.is_file():
            yield Utterance(path=path, words=words, speaker=who, condition=visit.date.isoformat())


def _words(session: Session, note: Note) -> tuple[str, ...]:
    reading = latest_reading(session, note.id)
    entries = entries_of_note(session, note.id)
    if reading is None or not entries or not all(map(_sure, entries)):
        return ()
    if any(_of(entry.content, "remark", "spoken_remark") for entry in entries):
        return ()
    if reading.origin != TYPED and not (reading.origin == "heard" and _unchanged(reading, entries)):
        return ()
    words = reading.said.words
    return () if FILLER in words else words


def _sure(entry: Entry) -> bool:
    return entry.state == EntryState.CONFIRMED and entry.confirmed_how == _ONE_BY_ONE


def _unchanged(reading: Reading, entries: list[Entry]) -> bool:
    read = [_of(one, *_SAID) for one in reading.entries]
    return read == [_of(entry.content, *_SAID) for entry in entries]


def _of(values: Mapping[str, Any], *names: str) -> dict[str, Any]:
    return {name: values[name] for name in names if values.get(name)}
