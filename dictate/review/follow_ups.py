"""What is due: ticked off, put off, or open again; each change is in the history."""

import datetime as dt

from sqlmodel import Session

from dictate.errors import ConflictError, NotFoundError, ReviewError
from dictate.store.due_lines import what_about
from dictate.store.history import write_event
from dictate.store.record_tables import FollowUp
from dictate.store.tables import Animal
from dictate.texts import gettext

_AHEAD_MAX = 2 * 365
"""Days from today to which something may be put off."""


def say_follow_up(session: Session, one: FollowUp) -> str:
    """E.g. `412: look again (LH outer sole ulcer)`."""
    about = what_about(session, [one])[one.id]
    number = session.get_one(Animal, one.animal_id).number
    return f"{number}: {one.kind}{f' ({about})' if about else ''}"


def tick_off(
    session: Session, follow_up_id: int, *, by: str, on: dt.date, today: dt.date | None = None
) -> FollowUp:
    """Note that a follow-up was done on a day up to `today` (none given: `on` is today).

    Raises:
        NotFoundError: it is not there.
        ConflictError: it was done already.
        ReviewError: the day has not come yet, or is before the follow-up was said.
    """
    found = _open(session, follow_up_id)
    if on > (today or on):
        raise ReviewError(
            gettext("%(on)s has not come yet", on=on), remedy=gettext("Say the day it was done")
        )
    if on < found.date:
        raise ReviewError(
            gettext(
                "%(on)s is before the visit that asked for it, %(date)s", on=on, date=found.date
            ),
            remedy=gettext("Say the day it was done"),
        )
    before = _facts(found)
    found.done_on, found.done_by = on, by
    return _changed(session, found, "follow-up done", before, by)


def untick(session: Session, follow_up_id: int, *, by: str) -> FollowUp:
    """Open a follow-up again that a person ticked off or put off.

    Raises:
        NotFoundError: it is not there any more.
        ConflictError: a confirmed entry settled it.
    """
    found = _there(session, follow_up_id)
    if found.done_entry_id is not None:
        raise ConflictError(
            gettext("entry %(done_entry)s settled this", done_entry=found.done_entry_id),
            remedy=gettext("Undo that entry to open it again"),
        )
    before = _facts(found)
    found.done_on = found.done_by = found.snoozed_to = None
    return _changed(session, found, "follow-up opened again", before, by)


def put_off(
    session: Session, follow_up_id: int, until: dt.date, *, by: str, today: dt.date
) -> FollowUp:
    """Move a follow-up to another day; the day that was said stays with it.

    Raises:
        NotFoundError: it is not there.
        ConflictError: it was done already.
        ReviewError: the day is past, or years ahead.
    """
    found = _open(session, follow_up_id)
    if until < today:
        raise ReviewError(
            gettext("%(until)s is past", until=until), remedy=gettext("Name a day from today on")
        )
    if (until - today).days > _AHEAD_MAX:
        raise ReviewError(
            gettext(
                "%(until)s is %(years)s years ahead", until=until, years=(until - today).days // 365
            ),
            remedy=gettext("Check the year"),
        )
    before = _facts(found)
    found.snoozed_to = until
    return _changed(session, found, "follow-up put off", before, by)


def _there(session: Session, follow_up_id: int) -> FollowUp:
    found = session.get(FollowUp, follow_up_id)
    if found is None:
        raise NotFoundError(
            gettext("there is no follow-up %(follow_up)s in the record", follow_up=follow_up_id),
            remedy=gettext(
                "`dictate follow-ups list` and the page list them; an undone entry takes its own along"
            ),
        )
    return found


def _open(session: Session, follow_up_id: int) -> FollowUp:
    found = _there(session, follow_up_id)
    if found.done_on is not None:
        raise ConflictError(
            gettext(
                "follow-up %(follow_up)s was done on %(done_on)s",
                follow_up=follow_up_id,
                done_on=found.done_on,
            ),
            remedy=gettext(
                "`dictate follow-ups reopen %(follow_up)s` opens it again", follow_up=follow_up_id
            ),
        )
    return found


def _facts(follow_up: FollowUp) -> dict[str, object]:
    return follow_up.model_dump(mode="json", include={"done_on", "done_by", "snoozed_to"})


def _changed(
    session: Session, follow_up: FollowUp, kind: str, before: dict[str, object], by: str
) -> FollowUp:
    session.flush()
    write_event(session, follow_up, kind=kind, who=by, before=before, after=_facts(follow_up))
    session.flush()
    return follow_up
