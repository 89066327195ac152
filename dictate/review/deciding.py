"""Decisions in the queue: confirm, amend, reject. Each is one event, and each can be undone.

A decision names the version of the entry that the person saw; if somebody changed it meanwhile,
nothing happens and the person is told. Functions work in the caller's session and commit nothing.
"""

from collections.abc import Mapping
from typing import Any

from sqlmodel import Session, col, select

from dictate.entry.values import EntryValues, MarkValues
from dictate.errors import ConflictError, ReviewError
from dictate.review.changes import apply_changes
from dictate.store.history import changing, new_act
from dictate.store.queries import animal_by_number, entry_by_id, has_roster
from dictate.store.record_entry import record_entry
from dictate.store.tables import Entry, EntryState, Visit, now

__all__ = ["REASONS", "amend", "confirm", "confirm_unmarked", "reject", "seen", "unmarked"]

REASONS = ("noise only", "said twice", "not a note", "no animal known")
"""Usual reasons to reject an entry, offered on the page and in the terminal; any other words do too."""


def confirm(
    session: Session,
    entry_id: int,
    *,
    by: str,
    version: int | None = None,
    how: str = "one",
    act: str | None = None,
) -> Entry:
    """Confirm a waiting entry: its findings, actions and follow-ups enter the herd record.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or it is not waiting.
        ReviewError: it names no animal.
    """
    entry = seen(session, entry_id, version)
    if entry.state != EntryState.WAITING:
        raise ConflictError(
            f"entry {entry_id} is {entry.state} already",
            remedy=f"`dictate undo {entry_id}` takes that back",
        )
    if entry.content.get("animal") is None:
        raise ReviewError(
            f"entry {entry_id} names no animal",
            remedy=f"Set it (dictate amend {entry_id} animal=NUMBER) or reject the entry",
        )
    with changing(session, entry, kind="confirmed", who=by, act=act or new_act()):
        entry.state, entry.touched = EntryState.CONFIRMED, True
        entry.confirmed_how, entry.confirmed_by, entry.confirmed_at = how, by, now()
        record_entry(session, entry)
    return entry


def unmarked(session: Session, visit_id: int) -> list[Entry]:
    """Waiting entries of a visit that no check marked: what `confirm_unmarked` would confirm."""
    waiting = session.exec(
        select(Entry)
        .where(Entry.visit_id == visit_id, Entry.state == EntryState.WAITING)
        .order_by(col(Entry.note_id), col(Entry.position))
    ).all()
    return [
        entry
        for entry in waiting
        if not entry.content["marks"] and entry.content["animal"] is not None
    ]


def confirm_unmarked(
    session: Session, visit_id: int, *, by: str, expected: Mapping[int, int] | None = None
) -> list[Entry]:
    """Confirm all entries of a visit without marks, as one act that is recorded as such.

    Args:
        session: An open writing session.
        visit_id: The visit.
        by: Who decides.
        expected: Entry id to version, as they were listed to the person; None takes what is there.

    Raises:
        ConflictError: an expected entry changed or is no longer among them; none is confirmed.
    """
    versions = {entry.id or 0: entry.version for entry in unmarked(session, visit_id)}
    asked = versions if expected is None else expected
    if changed := [str(at) for at, version in asked.items() if versions.get(at) != version]:
        raise ConflictError(
            f"changed since they were listed: entries {', '.join(changed)}",
            remedy="List them again",
        )
    act = new_act()
    return [
        confirm(session, at, by=by, version=version, how="unmarked", act=act)
        for at, version in asked.items()
    ]


def amend(
    session: Session,
    entry_id: int,
    changes: Mapping[str, Any],
    *,
    by: str,
    version: int | None = None,
    act: str | None = None,
) -> Entry:
    """Change slots of an entry; a confirmed one is changed in the herd record as well.

    Args:
        session: An open writing session.
        entry_id: The entry.
        changes: As `apply_changes` takes them.
        by: Who decides.
        version: The version the person saw.
        act: Name of the act this belongs to; None makes one.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or is rejected.
        ReviewError: a change does not fit.
    """
    entry = seen(session, entry_id, version)
    if entry.state == EntryState.REJECTED:
        raise ConflictError(
            f"entry {entry_id} is rejected",
            remedy=f"`dictate undo {entry_id}` brings it back first",
        )
    values = apply_changes(EntryValues.model_validate(entry.content), changes)
    if "animal" in changes:
        values = _doubt_new_number(session, entry, values)
    if entry.state == EntryState.CONFIRMED and values.animal is None:
        raise ReviewError(f"entry {entry_id} is confirmed and needs an animal")
    with changing(session, entry, kind="amended", who=by, act=act or new_act()):
        entry.content, entry.touched = values.model_dump(mode="json"), True
        record_entry(session, entry)
    return entry


def _doubt_new_number(session: Session, entry: Entry, values: EntryValues) -> EntryValues:
    """Mark a typed number that the farm's roster lacks: typing can go wrong as hearing can."""
    farm_id = session.get_one(Visit, entry.visit_id).farm_id
    if values.animal is None or not has_roster(session, farm_id):
        return values
    known = animal_by_number(session, farm_id, values.animal)
    if known is not None and known.on_roster:
        return values
    mark = MarkValues(
        id="animal-not-on-roster",
        what=f"{values.animal} is not on the roster",
        why="it may be mistyped; the roster may also be old",
        clear="confirm the number as new, or change it",
    )
    return values.model_copy(
        update={"marks": (*values.marks, mark.id), "mark_details": (*values.mark_details, mark)}
    )


def reject(
    session: Session, entry_id: int, reason: str, *, by: str, version: int | None = None
) -> Entry:
    """Reject an entry with a reason; a confirmed one leaves the herd record.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it was changed since `version`, or is rejected already.
        ReviewError: the reason is empty.
    """
    entry = seen(session, entry_id, version)
    if not reason.strip():
        raise ReviewError(f"entry {entry_id} was not rejected: no reason was given")
    if entry.state == EntryState.REJECTED:
        raise ConflictError(f"entry {entry_id} is rejected already")
    with changing(session, entry, kind="rejected", who=by, act=new_act()):
        entry.state, entry.reason, entry.touched = EntryState.REJECTED, reason.strip(), True
        record_entry(session, entry)
    return entry


def seen(session: Session, entry_id: int, version: int | None) -> Entry:
    """The entry, locked for a change, if it still is as the person saw it.

    Raises:
        NotFoundError: there is no such entry.
        ConflictError: it has another version now.
    """
    entry = entry_by_id(session, entry_id, lock=True)
    if version is not None and entry.version != version:
        raise ConflictError(
            f"entry {entry_id} was changed meanwhile (version {entry.version}, you saw {version})",
            remedy="Look at it again and decide anew",
        )
    return entry
