"""Looking for changes that were made outside the program: in the history, the entries, the record."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Any

from sqlmodel import Session, SQLModel, col, func, select

from dictate.store.record_tables import Action, Finding
from dictate.store.seals import broken_seals
from dictate.store.states import EntryState
from dictate.store.tables import Entry, Event

_AT_ONCE = 2_000
_FINDING = ("foot", "claw", "zone", "lesion", "stage", "severity")
_ACTION = ("kind", "foot", "claw", "material")


def changed_outside(session: Session) -> list[str]:
    """What is not as the program wrote it, one line for each kind; empty where all is well.

    The history must be as it was sealed (SQLite), each entry as its last event left it, and the
    findings and actions of the record as the confirmed entries say.
    """
    connection = session.connection()
    seals = broken_seals(connection) if connection.dialect.name == "sqlite" else ""
    found = [f"history: {seals}"] if seals else []
    entries: list[Any] = []
    record: list[Any] = []
    for some in _entries(session):
        entries += _unlike_history(session, some)
        record += _unlike_record(session, some)
    found += _told("entries are not as the history left them", entries)
    found += _told("confirmed entries have other findings or actions in the record", record)
    return found


def _told(what: str, entries: list[int]) -> list[str]:
    if not entries:
        return []
    some = ", ".join(map(str, entries[:5])) + (" …" if len(entries) > 5 else "")
    return [f"{len(entries)} {what}: {some}"]


def _entries(session: Session) -> Iterator[list[Entry]]:
    after = 0
    query = select(Entry).order_by(col(Entry.id)).limit(_AT_ONCE)
    while some := list(session.exec(query.where(col(Entry.id) > after)).all()):
        yield some
        after = some[-1].id
        session.expunge_all()


def _unlike_history(session: Session, entries: list[Entry]) -> Iterator[int]:
    ids = [entry.id for entry in entries]
    newest = (
        select(func.max(Event.id))
        .where(Event.subject == "entry", col(Event.subject_id).in_(ids))
        .group_by(col(Event.subject_id))
    )
    last = dict(
        session.exec(select(Event.subject_id, Event.after).where(col(Event.id).in_(newest))).all()
    )
    for entry in entries:
        after = last.get(entry.id)
        if after is not None and (after.get("state"), after.get("content")) != (
            entry.state,
            entry.content,
        ):
            yield entry.id


def _unlike_record(session: Session, entries: list[Entry]) -> Iterator[int]:
    ids = [entry.id for entry in entries]
    findings = _by_entry(session, Finding, _FINDING, ids)
    actions = _by_entry(session, Action, _ACTION, ids)
    for entry in entries:
        said: tuple[list[Any], list[Any]] = ([], [])
        if entry.state == EntryState.CONFIRMED:
            values = entry.values
            said = (_plain(values.findings, _FINDING), _plain(values.actions, _ACTION))
        if said != (findings[entry.id], actions[entry.id]):
            yield entry.id


def _plain(rows: Iterable[Any], names: tuple[str, ...]) -> list[tuple[Any, ...]]:
    return [tuple(getattr(row, name) for name in names) for row in rows]


def _by_entry(
    session: Session, table: type[SQLModel], names: tuple[str, ...], ids: list[int]
) -> defaultdict[int, list[tuple[Any, ...]]]:
    of = table.__table__.c  # type: ignore[attr-defined]
    query = (
        select(of.entry_id, *(of[name] for name in names))
        .where(of.entry_id.in_(ids))
        .order_by(of.entry_id, of.position)
    )
    rows: defaultdict[int, list[tuple[Any, ...]]] = defaultdict(list)
    for entry_id, *values in session.execute(query):
        rows[entry_id].append(tuple(values))
    return rows
