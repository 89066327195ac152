"""The queue: entries that wait for a person, riskiest first."""

from dataclasses import dataclass

from sqlmodel import Session, col, select

from dictate.entry.values import EntryValues
from dictate.review.order import groups, risk_of
from dictate.store.queries import heard_text, natural
from dictate.store.states import EntryState
from dictate.store.tables import Clip, Entry, Note


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitingEntry:
    """One entry of the queue with what a person needs to decide."""

    id: int
    version: int
    """To be named with the decision."""
    note_id: int
    visit_id: int
    clip: str
    """Name of the sound file."""
    heard: str
    """The heard words."""
    values: EntryValues
    risk: int
    """0 is the riskiest group; the last group has no marks."""
    group: str
    """The group in words."""


def waiting(session: Session, visit_id: int | None = None) -> list[WaitingEntry]:
    """Entries that wait, riskiest group first, within a group in the order they were spoken."""
    query = (
        select(Entry, Note, Clip)
        .join(Note, col(Note.id) == col(Entry.note_id))
        .join(Clip, col(Clip.id) == col(Note.clip_id))
        .where(Entry.state == EntryState.WAITING)
    )
    if visit_id is not None:
        query = query.where(Entry.visit_id == visit_id)
    rows = sorted(session.exec(query).all(), key=lambda row: _in_time(*row))
    return sorted((_shown(*row) for row in rows), key=lambda entry: entry.risk)


def _in_time(entry: Entry, _note: Note, clip: Clip) -> tuple[object, ...]:
    moment = clip.recorded_at.timestamp() if clip.recorded_at else 0.0
    return entry.visit_id, moment, natural(clip.file_name), entry.position


def _shown(entry: Entry, note: Note, clip: Clip) -> WaitingEntry:
    values = entry.values
    risk = risk_of(values)
    return WaitingEntry(
        id=entry.id,
        version=entry.version,
        note_id=entry.note_id,
        visit_id=entry.visit_id,
        clip=clip.file_name,
        heard=heard_text(note),
        values=values,
        risk=risk,
        group=groups()[risk].name,
    )
