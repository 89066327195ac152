"""What is due: listed by date, ticked off, or put off; each change is in the history."""

import datetime as dt
from dataclasses import dataclass

from sqlalchemy import ColumnElement, func
from sqlmodel import Session, col, select

from dictate.errors import ConflictError, NotFoundError
from dictate.store.history import new_act
from dictate.store.record_tables import FollowUp
from dictate.store.tables import Animal, Event

__all__ = ["Due", "due_at", "put_off", "tick_off", "untick"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One open follow-up with its animal."""

    follow_up: FollowUp
    animal: Animal
    on: dt.date | None
    """The day it is due, put off or not; None when no date was said."""


def due_at(
    session: Session, farm_id: int, *, until: dt.date | None = None, most: int = 300
) -> tuple[list[Due], int]:
    """Open follow-ups of a farm by the day they are due, undated ones last, and how many there are.

    Args:
        session: An open session.
        farm_id: The farm.
        until: Last day that counts; None for all.
        most: Longest list given.

    """
    day: ColumnElement[dt.date] = func.coalesce(FollowUp.snoozed_to, FollowUp.due_on)
    wanted = [FollowUp.farm_id == farm_id, col(FollowUp.done_on).is_(None)]
    if until is not None:
        wanted.append((day <= until) | day.is_(None))
    total = session.exec(select(func.count()).select_from(FollowUp).where(*wanted)).one()
    rows = session.exec(
        select(FollowUp, Animal)
        .join(Animal, col(Animal.id) == FollowUp.animal_id)
        .where(*wanted)
        .order_by(day.is_(None), day, col(FollowUp.id))
        .limit(most)
    ).all()
    found = [
        Due(follow_up=one, animal=animal, on=one.snoozed_to or one.due_on) for one, animal in rows
    ]
    return found, total


def tick_off(session: Session, follow_up_id: int, *, by: str, on: dt.date) -> FollowUp:
    """Note that a follow-up was done.

    Raises:
        NotFoundError: it is not there any more.
        ConflictError: it was done already.

    """
    found = _open(session, follow_up_id)
    before = _facts(found)
    found.done_on, found.done_by = on, by
    return _changed(session, found, "follow-up done", before, by)


def untick(session: Session, follow_up_id: int, *, by: str) -> FollowUp:
    """Open a follow-up again that a person ticked off or put off.

    Raises:
        NotFoundError: it is not there any more.
        ConflictError: it is open, or a confirmed entry settled it.

    """
    found = _there(session, follow_up_id)
    if found.done_entry_id is not None:
        raise ConflictError(
            f"entry {found.done_entry_id} settled this", remedy="Undo that entry to open it again"
        )
    before = _facts(found)
    found.done_on = found.done_by = found.snoozed_to = None
    return _changed(session, found, "follow-up opened again", before, by)


def put_off(session: Session, follow_up_id: int, until: dt.date, *, by: str) -> FollowUp:
    """Move a follow-up to another day; the day that was said stays with it.

    Raises:
        NotFoundError: it is not there any more.
        ConflictError: it was done already.

    """
    found = _open(session, follow_up_id)
    before = _facts(found)
    found.snoozed_to = until
    return _changed(session, found, "follow-up put off", before, by)


def _there(session: Session, follow_up_id: int) -> FollowUp:
    found = session.get(FollowUp, follow_up_id)
    if found is None:
        raise NotFoundError(
            "this follow-up is not in the record any more", remedy="Open the list again"
        )
    return found


def _open(session: Session, follow_up_id: int) -> FollowUp:
    found = _there(session, follow_up_id)
    if found.done_on is not None:
        raise ConflictError(f"this was done on {found.done_on}", remedy="Open the list again")
    return found


def _facts(follow_up: FollowUp) -> dict[str, object]:
    return follow_up.model_dump(mode="json", include={"done_on", "done_by", "snoozed_to"})


def _changed(
    session: Session, follow_up: FollowUp, kind: str, before: dict[str, object], by: str
) -> FollowUp:
    session.flush()
    session.add(
        Event(
            who=by, kind=kind, subject="follow_up", subject_id=follow_up.id or 0, act=new_act(),
            before=before, after=_facts(follow_up),
        )
    )  # fmt: skip
    session.flush()
    return follow_up
