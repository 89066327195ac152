"""The queue: entries that wait for a person, riskiest first."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from sqlmodel import Session, col, select

from dictate.notes.values import EntryValues
from dictate.store.queries import heard_text, natural
from dictate.store.tables import Clip, Entry, EntryState, Note

__all__ = ["WaitingEntry", "waiting"]


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
    values = EntryValues.model_validate(entry.content)
    risk, group = _risk(values)
    return WaitingEntry(
        id=entry.id or 0,
        version=entry.version,
        note_id=entry.note_id,
        visit_id=entry.visit_id,
        clip=clip.file_name,
        heard=heard_text(note),
        values=values,
        risk=risk,
        group=group,
    )


def _risk(values: EntryValues) -> tuple[int, str]:
    """The riskiest group among the marks; a mark in no group counts as `other`."""
    groups = _groups()
    names = list(groups)
    found = [_group_of(mark, groups) for mark in values.marks]
    if values.animal is None and not values.marks:
        found.append("animal")
    worst = min(found, key=names.index, default="unmarked")
    return names.index(worst), worst


def _group_of(mark: str, groups: Mapping[str, frozenset[str]]) -> str:
    return next((name for name, checks in groups.items() if mark in checks), "other")


@cache
def _groups() -> dict[str, frozenset[str]]:
    """Groups of checks, riskiest first."""
    text = files("dictate.review").joinpath("order.toml").read_text(encoding="utf-8")
    return {row["name"]: frozenset(row["checks"]) for row in tomllib.loads(text)["group"]}
