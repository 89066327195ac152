"""The history: every change of an entry goes through `changing`, every event through `write_event`."""

import datetime as dt
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any
from uuid import uuid4

from sqlmodel import Session, col, select

from dictate.store.record_tables import FollowUp
from dictate.store.states import EntryState, NoteState
from dictate.store.tables import Alias, Animal, Clip, Entry, Event, Farm, Note

HANDED_ON = "handed on"
"""Kind of the event of a waiting entry that followed the one before it."""
OPENED_AGAIN = "opened again"
"""Kind of the event of a confirmed entry that waits again, because a person changed the one before."""
MOVED = "moved"
"""Kind of the events of what was moved to another visit."""
DECISIONS = (
    "amended", "brought back", "confirmed", "rejected", "restored", "typed", MOVED, OPENED_AGAIN,
)  # fmt: skip
"""Kinds of what a person decided; each can be undone. All else follows from them."""

STANDS = col(Event.id).not_in(select(Event.undoes_id).where(col(Event.undoes_id).is_not(None)))
"""Whether an event was not taken back."""

_KEPT = (
    "visit_id",
    "state",
    "content",
    "confirmed_how",
    "confirmed_by",
    "confirmed_at",
    "reason",
    "touched",
)
"""What an event keeps of an entry, so that undoing can put it back."""


def new_act() -> str:
    """A name for one act; all events of the act bear it."""
    return uuid4().hex


def kept_of_farm(session: Session, farm: str | None, kind: str) -> dict[str, Any]:
    """What the newest event of a kind keeps about a farm; empty before the first."""
    at = select(Farm.id).where(Farm.name == farm).scalar_subquery()
    newest = session.exec(
        select(Event.after)
        .where(Event.subject == "farm", Event.subject_id == at, Event.kind == kind)
        .order_by(col(Event.id).desc())
    ).first()
    return dict(newest or {})


def write_event(
    session: Session,
    of: Alias | Animal | Clip | Entry | Farm | FollowUp,
    *,
    kind: str,
    who: str,
    act: str = "",
    before: Mapping[str, Any] | None = None,
    after: Mapping[str, Any] | None = None,
    undoes: int | None = None,
) -> None:
    """Add one event about a row that has its id; without an act it is one by itself."""
    session.add(
        Event(
            subject=str(of.__tablename__), subject_id=of.id, kind=kind, who=who,
            act=act or new_act(), undoes_id=undoes,
            before=None if before is None else dict(before),
            after=None if after is None else dict(after),
        )
    )  # fmt: skip


@contextmanager
def changing(
    session: Session, entry: Entry, *, kind: str, who: str, act: str, undoes: int | None = None
) -> Iterator[None]:
    """Change an entry inside the block: its version goes up and the history gets one event."""
    before = snapshot(entry)
    yield
    entry.version += 1
    session.flush()
    tell(session, entry, kind=kind, who=who, act=act, before=before, undoes=undoes)
    _settle_note(session, entry.note_id)


def tell(
    session: Session,
    entry: Entry,
    *,
    kind: str,
    who: str,
    act: str,
    before: dict[str, Any] | None,
    undoes: int | None = None,
) -> None:
    """Add one event about an entry as it stands now."""
    write_event(
        session, entry, kind=kind, who=who, act=act,
        before=before, after=snapshot(entry), undoes=undoes,
    )  # fmt: skip
    session.flush()


def snapshot(entry: Entry) -> dict[str, Any]:
    """What an event keeps of an entry, as plain data."""
    kept = {name: getattr(entry, name) for name in _KEPT}
    at = entry.confirmed_at
    return kept | {"confirmed_at": at.isoformat() if at else None}


def put_back(entry: Entry, kept: Mapping[str, Any]) -> None:
    """Make an entry what an event kept of it; older events know nothing of the moment."""
    at = kept.get("confirmed_at")
    then = {"confirmed_at": dt.datetime.fromisoformat(at) if at else None}
    if at is None and kept["state"] == EntryState.CONFIRMED:
        then = {}
    for name, value in {**kept, **then}.items():
        if name != "confirmed_at" or then:
            setattr(entry, name, value)


def tell_of_clip(
    session: Session, clip: Clip, *, was: int, who: str, act: str, undoes: int | None
) -> None:
    """Add one event about a clip that is at another visit now."""
    write_event(
        session, clip, kind="undone" if undoes else MOVED, who=who, act=act,
        before={"visit_id": was}, after={"visit_id": clip.visit_id}, undoes=undoes,
    )  # fmt: skip
    session.flush()


def history_of(session: Session, subject: str, subject_id: int) -> list[Event]:
    """All events of one thing, oldest first."""
    return list(
        session.exec(
            select(Event)
            .where(Event.subject == subject, Event.subject_id == subject_id)
            .order_by(col(Event.id))
        ).all()
    )


def _settle_note(session: Session, note_id: int) -> None:
    """A note is decided once none of its entries waits."""
    note = session.get_one(Note, note_id)
    if note.state in (NoteState.HEARD, NoteState.PARSED):
        return
    states = set(session.exec(select(Entry.state).where(Entry.note_id == note_id)).all())
    if EntryState.WAITING in states:
        note.state = NoteState.WAITING
    elif EntryState.CONFIRMED in states:
        note.state = NoteState.CONFIRMED
    else:
        note.state = NoteState.REJECTED
