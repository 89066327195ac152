"""What was left aside as talk: where it is found; `acts.bring_back` puts it into the queue."""

from dataclasses import dataclass

from sqlmodel import Session, col, select

from dictate.store.clips import LEFT_ASIDE, heard_text, in_time
from dictate.store.states import EntryState
from dictate.store.tables import Clip, Entry, Note


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftAside:
    """A piece of a day's sound that nobody was asked about, as it is talk."""

    id: int
    """Its entry."""
    version: int
    visit_id: int
    clip_id: int
    clip: str
    """Name of the sound file."""
    seconds: float
    heard: str
    """The words that the recogniser made of it."""


def left_aside(session: Session, visit_id: int | None = None) -> list[LeftAside]:
    """What was left aside, in the order in which it was said; of all visits unless one is named."""
    query = (
        select(Entry, Note, Clip)
        .join(Note, col(Note.id) == col(Entry.note_id))
        .join(Clip, col(Clip.id) == col(Note.clip_id))
        .where(Entry.state == EntryState.REJECTED, Entry.reason == LEFT_ASIDE)
    )
    if visit_id is not None:
        query = query.where(Entry.visit_id == visit_id)
    rows = sorted(session.exec(query).all(), key=lambda row: (row[0].visit_id, *in_time(row[2])))
    return [
        LeftAside(
            id=entry.id,
            version=entry.version,
            visit_id=entry.visit_id,
            clip_id=clip.id,
            clip=clip.file_name,
            seconds=clip.seconds,
            heard=heard_text(note),
        )
        for entry, note, clip in rows
    ]
