"""What waits: in which order, which slots a mark doubts, what may be confirmed together; and what was left aside."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from sqlalchemy import ColumnElement
from sqlmodel import Session, col, select

from dictate.entry.values import EntryValues
from dictate.entry.wording import say_entry
from dictate.store.clips import LEFT_ASIDE, heard_text, in_time
from dictate.store.states import EntryState
from dictate.store.tables import Clip, Entry, Event, Note

OTHER = "other"
"""Group of a check that no group lists."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Checks that stand equally high in the queue."""

    name: str
    why: str
    """Why they stand there, in words for a person."""
    settles: dict[str, tuple[str, ...]]
    """Check to the slots whose change answers it."""


@cache
def groups() -> tuple[Group, ...]:
    """All groups, riskiest first; the last is that of entries without a mark."""
    text = files("dictate.review").joinpath("order.toml").read_text(encoding="utf-8")
    return tuple(
        Group(
            name=row["name"],
            why=row["why"],
            settles={check: tuple(slots) for check, slots in row["checks"].items()},
        )
        for row in tomllib.loads(text)["group"]
    )


def risk_of(values: EntryValues) -> int:
    """Index of the riskiest group among an entry's marks."""
    marks = values.marks or (("animal-missing",) if values.animal is None else ())
    return min(map(_group_of, marks), default=len(groups()) - 1)


def settled_by(check: str) -> frozenset[str]:
    """Slots whose change answers a mark."""
    return frozenset(groups()[_group_of(check)].settles.get(check, ()))


def _group_of(check: str) -> int:
    listed = next((at for at, group in enumerate(groups()) if check in group.settles), None)
    return listed if listed is not None else [group.name for group in groups()].index(OTHER)


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
    rows = _as_spoken(session, visit_id, Entry.state == EntryState.WAITING)
    return sorted((_shown(*row) for row in rows), key=lambda entry: entry.risk)


def _as_spoken(
    session: Session, visit_id: int | None, *wanted: ColumnElement[bool] | bool
) -> list[tuple[Entry, Note, Clip]]:
    """Entries of one visit, or of all, in the order in which they were spoken."""
    query = (
        select(Entry, Note, Clip)
        .join(Note, col(Note.id) == col(Entry.note_id))
        .join(Clip, col(Clip.id) == col(Note.clip_id))
        .where(*wanted)
    )
    if visit_id is not None:
        query = query.where(Entry.visit_id == visit_id)
    rows = session.exec(query).all()
    return sorted(rows, key=lambda row: (row[0].visit_id, *in_time(row[2]), row[0].position))


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """An entry that would be confirmed together with others."""

    id: int
    version: int
    values: EntryValues

    @property
    def sentence(self) -> str:
        return say_entry(self.values)


def unmarked(session: Session, visit_id: int) -> list[Listed]:
    """Waiting entries of a visit that no check marked: what `confirm_together` would confirm."""
    waiting = session.exec(
        select(Entry)
        .where(Entry.visit_id == visit_id, Entry.state == EntryState.WAITING)
        .order_by(col(Entry.note_id), col(Entry.position))
    ).all()
    return [
        Listed(id=entry.id, version=entry.version, values=entry.values)
        for entry in waiting
        if not entry.content["marks"] and entry.content["animal"] is not None
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """One line of the list."""

    listed: Listed
    heard: str
    """All that was heard in its note."""
    clip_id: int
    was: str
    """The entry in words before a person first changed it; empty when nobody did."""

    @property
    def risk(self) -> tuple[int, int]:
        """What a person changed comes first, then what holds most: there most can be wrong."""
        values = self.listed.values
        parts = (values.findings, values.actions, values.follow_ups, values.measures)
        return (0 if self.was else 1, -sum(map(len, parts)))


def to_confirm_together(session: Session, visit_id: int) -> list[Together]:
    """What `confirm_together` would confirm, in the order in which it should be looked through."""
    listed = {one.id: one for one in unmarked(session, visit_id)}
    rows = session.exec(
        select(Entry.id, Note, Clip.id)
        .join(Note, col(Note.id) == Entry.note_id)
        .join(Clip, col(Clip.id) == Note.clip_id)
        .where(col(Entry.id).in_(listed))
    ).all()
    was = _before_changes(session, list(listed))
    lines = [
        Together(
            listed=listed[entry_id],
            heard=heard_text(note),
            clip_id=clip_id,
            was=said if (said := was.get(entry_id, "")) != listed[entry_id].sentence else "",
        )
        for entry_id, note, clip_id in rows
    ]
    return sorted(lines, key=lambda line: (line.risk, line.listed.id))


def _before_changes(session: Session, entries: list[int]) -> dict[int, str]:
    """Entry to its sentence before the first change that was a person's own."""
    events = session.exec(
        select(Event.subject_id, Event.before)
        .where(Event.subject == "entry", col(Event.subject_id).in_(entries))
        .where(col(Event.kind).in_(("amended", "typed")))
        .order_by(col(Event.id))
    ).all()
    was: dict[int, str] = {}
    for entry_id, before in events:
        if before is not None:
            values = EntryValues.model_validate(before["content"])
            was.setdefault(entry_id, Listed(id=entry_id, version=0, values=values).sentence)
    return was


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
        for entry, note, clip in _as_spoken(
            session, visit_id, Entry.state == EntryState.REJECTED, Entry.reason == LEFT_ASIDE
        )
    ]
