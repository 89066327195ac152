"""Undoing: a new event that puts back what an earlier one changed; nothing is taken out of the history."""

from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select
from sqlmodel.sql.expression import SelectOfScalar

from dictate.errors import ConflictError
from dictate.review.deciding import seen
from dictate.store.history import changing, new_act
from dictate.store.record_entry import record_entry
from dictate.store.tables import Entry, EntryState, Event

__all__ = ["last_act", "undo", "undo_act"]

_DECISIONS = ("amended", "brought back", "confirmed", "rejected", "typed")


def undo(
    session: Session, entry_id: int, *, by: str, version: int | None = None, act: str | None = None
) -> Entry:
    """Take back the newest decision on an entry; doing it again takes back the one before.

    A split, a join or typed words that changed several entries are taken back on all of them, or
    something would stand twice. Of entries confirmed together, the others stay confirmed.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or there is nothing to take back.
    """
    entry = seen(session, entry_id, version)
    event = _newest_decision(session, entry_id)
    if event is None or event.before is None:
        raise ConflictError(f"nothing was decided on entry {entry_id} that could be undone")
    if act is None and event.kind != "confirmed" and _changed_others(session, event):
        undo_act(session, event.act, by=by)
        return entry
    with changing(session, entry, kind="undone", who=by, act=act or new_act(), undoes=event.id):
        for name, value in event.before.items():
            setattr(entry, name, value)
        if entry.state == EntryState.WAITING:
            entry.confirmed_at = None
        record_entry(session, entry)
    return entry


def undo_act(session: Session, act: str, *, by: str) -> list[Entry]:
    """Take back a whole act, such as confirming many at once; the entries it gave back.

    Raises:
        ConflictError: nothing of it is left to take back, or a later decision stands on top of it.
    """
    events = session.exec(_decisions().where(Event.act == act).order_by(col(Event.id).desc())).all()
    if not events:
        raise ConflictError("this act was undone already, or never was")
    together = new_act()
    undone = {}
    for event in events:
        newest = _newest_decision(session, event.subject_id)
        if newest is None or newest.act != act:
            raise ConflictError(
                f"a later decision stands on entry {event.subject_id}", remedy="Undo that one first"
            )
        undone[event.subject_id] = undo(session, event.subject_id, by=by, act=together)
    return list(undone.values())


def last_act(session: Session, *, by: str) -> str | None:
    """The newest act of a person that was not undone yet."""
    newest = session.exec(
        _decisions().where(Event.who == by).order_by(col(Event.id).desc())
    ).first()
    return newest.act if newest else None


def _changed_others(session: Session, event: Event) -> bool:
    """Whether the act of an event changed further entries."""
    others = _decisions().where(Event.act == event.act, Event.subject_id != event.subject_id)
    return session.exec(others.limit(1)).first() is not None


def _newest_decision(session: Session, entry_id: int) -> Event | None:
    query = _decisions().where(Event.subject_id == entry_id).order_by(col(Event.id).desc())
    return session.exec(query).first()


def _decisions() -> SelectOfScalar[Event]:
    """Decisions that still stand."""
    taken_back = aliased(Event)
    return select(Event).where(
        Event.subject == "entry",
        col(Event.kind).in_(_DECISIONS),
        ~select(taken_back.id).where(taken_back.undoes_id == Event.id).exists(),
    )
