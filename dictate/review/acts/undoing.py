"""Undoing: a new event that puts back what an earlier one changed; nothing is taken out of the history."""

from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select
from sqlmodel.sql.expression import SelectOfScalar

from dictate.errors import ConflictError, NotFoundError
from dictate.notes.queueing import PROGRAM
from dictate.review.acts.act import Act, Store, acting
from dictate.review.acts.done import Done
from dictate.review.acts.moving import bring_along, move_back
from dictate.settings import Settings
from dictate.store.history import DECISIONS, MOVED, put_back
from dictate.store.tables import Entry, Event
from dictate.texts import gettext


def undo(
    store: Store, settings: Settings, entry_id: int, *, by: str, version: int | None = None
) -> Done:
    """Take back the newest decision on an entry; doing it again takes back the one before.

    A split, a join or typed words that changed several entries are taken back on all of them, or
    something would stand twice. Of entries confirmed together, the others stay confirmed.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or there is nothing to take back.
    """
    with acting(store, settings, by) as act:
        act.undoing = True
        act.main = act.seen(entry_id, version)
        event = _newest_decision(act.session, entry_id)
        if event is None or event.before is None:
            raise ConflictError(
                gettext(
                    "nothing was decided on entry %(entry)s that could be undone", entry=entry_id
                )
            )
        if event.kind == MOVED or (
            event.kind != "confirmed" and _changed_others(act.session, event)
        ):
            _undo_act(act, event.act)
        else:
            _undo_event(act, event)
    return act.done


def undo_act(store: Store, settings: Settings, name: str, *, by: str) -> Done:
    """Take back a whole act, such as confirming many at once.

    Raises:
        ConflictError: nothing of it is left to take back, or a later decision stands on top of it.
    """
    with acting(store, settings, by) as act:
        act.undoing = True
        _undo_act(act, name)
    return act.done


def undo_last(store: Store, settings: Settings, *, by: str) -> Done | None:
    """Take back a person's newest act, whatever it was; doing it again takes back the one before.

    None when no entry changed by it: clips that were not heard yet went back to where they were.

    Raises:
        NotFoundError: the person has decided nothing that could be undone.
        ConflictError: another person's decision stands on top of it.
    """
    with acting(store, settings, by) as act:
        act.undoing = True
        name = last_act(act.session, by=by)
        if name is None:
            raise NotFoundError(gettext("%(by)s has decided nothing that could be undone", by=by))
        _undo_act(act, name)
    return act.result


def last_act(session: Session, *, by: str) -> str | None:
    """The newest act of a person that was not undone yet."""
    newest = session.exec(
        _decisions("entry", "clip").where(Event.who == by).order_by(col(Event.id).desc())
    ).first()
    return newest.act if newest else None


def _undo_act(act: Act, name: str) -> None:
    newest_first = col(Event.id).desc()
    events = act.session.exec(_decisions().where(Event.act == name).order_by(newest_first)).all()
    moved = act.session.exec(
        _decisions("clip").where(Event.act == name).order_by(newest_first)
    ).all()
    if not events and not moved:
        raise ConflictError(gettext("this act was undone already, or never was"))
    for event in moved:
        _stands_on_top(act.session, event)
    move_back(act, moved)
    for event in events:
        newest = _newest_decision(act.session, event.subject_id)
        if newest is None or newest.act != name:
            raise ConflictError(
                gettext("a later decision stands on entry %(subject)s", subject=event.subject_id),
                remedy=gettext("Undo that one first"),
            )
        _undo_event(act, event)
    bring_along(act)
    if events and act.main is None:
        act.main = act.session.get_one(Entry, events[-1].subject_id)


def _undo_event(act: Act, event: Event) -> None:
    entry = act.seen(event.subject_id)
    # What the program did was no person's step: setting it right is one, and can be undone itself.
    own = event.who == PROGRAM
    kind, undoes = ("restored", None) if own else ("undone", event.id)
    with act.change(entry, kind, undoes=undoes):
        put_back(entry, event.before or {})


def _changed_others(session: Session, event: Event) -> bool:
    """Whether the act of an event changed further entries."""
    others = _decisions().where(Event.act == event.act, Event.subject_id != event.subject_id)
    return session.exec(others.limit(1)).first() is not None


def _newest_decision(session: Session, entry_id: int) -> Event | None:
    query = _decisions().where(Event.subject_id == entry_id).order_by(col(Event.id).desc())
    return session.exec(query).first()


def _stands_on_top(session: Session, event: Event) -> None:
    later = (
        _decisions("clip")
        .where(Event.subject_id == event.subject_id, col(Event.id) > event.id)
        .limit(1)
    )
    if session.exec(later).first() is not None:
        raise ConflictError(
            gettext("the notes were moved once more"), remedy=gettext("Undo that first")
        )


def _decisions(*subjects: str) -> SelectOfScalar[Event]:
    """Decisions that still stand; on entries, when nothing else is asked for."""
    taken_back = aliased(Event)
    return select(Event).where(
        col(Event.subject).in_(subjects or ("entry",)),
        col(Event.kind).in_(DECISIONS),
        ~select(taken_back.id).where(taken_back.undoes_id == Event.id).exists(),
    )
