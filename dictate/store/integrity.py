"""The history under seal, and looking for changes made outside the program: there, in entries and the record.

Each commit that adds events adds a seal: the SHA-256 of the seal before and of every event since, as
they stand in the file. Whoever changes an old event breaks every seal after it. Only SQLite's file has
seals: it has one writer at a time, so the order of its events is the order of its commits; on a server
the server's own means watch over who writes.

What a seal cannot show: a file that was put back to an older state as a whole. Backups do.
"""

import hashlib
import json
from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, SQLModel, col, func, select

from dictate.entry.wording import counted
from dictate.store.names_kept import names_changed
from dictate.store.record_tables import RECORD_TABLES, Action, Finding
from dictate.store.states import EntryState
from dictate.store.tables import Entry, Event, Visit

_START = "0" * 64
_EVENTS = (
    "SELECT id, at, who, kind, subject, subject_id, act, before, after, undoes_id"
    " FROM event WHERE id > ? AND id <= ? ORDER BY id"
)
_AT_ONCE = 2_000
_FINDING = ("foot", "claw", "zone", "lesion", "stage", "severity")
_ACTION = ("kind", "foot", "claw", "material")


def seal_history(connection: sa.Connection) -> None:
    """Seal the events that no seal covers yet; called before each commit."""
    last = connection.exec_driver_sql("SELECT max(id) FROM event").scalar()
    if last is None:
        return
    before = connection.exec_driver_sql(
        "SELECT through_id, sha256 FROM seal ORDER BY through_id DESC LIMIT 1"
    ).first()
    through, digest = before or (0, _START)
    if last > through:
        connection.exec_driver_sql(
            "INSERT INTO seal (through_id, sha256) VALUES (?, ?)",
            (last, _folded(connection, digest, through, last)),
        )


def broken_seals(connection: sa.Connection) -> str:
    """Where the history is not what was sealed, in words; empty where all is well."""
    digest, through = _START, 0
    seals = connection.exec_driver_sql(
        "SELECT through_id, sha256 FROM seal ORDER BY through_id"
    ).all()
    for last, sealed in seals:
        if _folded(connection, digest, through, last) != sealed:
            return f"events {through + 1} to {last} are not as they were written"
        digest, through = sealed, last
    left = connection.exec_driver_sql(
        "SELECT count(*) FROM event WHERE id > ?", (through,)
    ).scalar_one()
    said = f"{counted(left, 'event')} after {through} {'has' if left == 1 else 'have'} no seal"
    return said if left else ""


def _folded(connection: sa.Connection, digest: str, after: int, last: int) -> str:
    for row in connection.exec_driver_sql(_EVENTS, (after, last)):
        text = json.dumps(list(row), ensure_ascii=True, separators=(",", ":"))
        digest = hashlib.sha256(f"{digest}{text}".encode()).hexdigest()
    return digest


def changed_outside(session: Session) -> list[str]:
    """What is not as the program wrote it, one line for each kind; empty where all is well.

    The history must be as it was sealed (SQLite), each farm, animal and entry as its last event left
    it, and the findings and actions of the record as the confirmed entries say, under their animal,
    visit and day.
    """
    connection = session.connection()
    seals = broken_seals(connection) if connection.dialect.name == "sqlite" else ""
    found = [f"history: {seals}"] if seals else []
    entries: list[Any] = []
    record: list[Any] = list(_elsewhere(session))
    found += names_changed(session)
    for some in _entries(session):
        entries += _unlike_history(session, some)
        record += _unlike_record(session, some)
    found += _told("entry is", "entries are", "not as the history left it", entries)
    record = sorted(set(record))
    found += _told(
        "confirmed entry has",
        "confirmed entries have",
        "another animal, visit, findings or actions in the record",
        record,
    )
    return found


def _told(one: str, many: str, what: str, entries: list[int]) -> list[str]:
    if not entries:
        return []
    some = ", ".join(map(str, entries[:5])) + (" …" if len(entries) > 5 else "")
    return [f"{len(entries)} {one if len(entries) == 1 else many} {what}: {some}"]


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
        if after is not None and (
            after.get("state"),
            after.get("content"),
            after.get("visit_id", entry.visit_id),
        ) != (entry.state, entry.content, entry.visit_id):
            yield entry.id


def _elsewhere(session: Session) -> Iterator[int]:
    """Entries of which something in the record stands under another animal, visit, farm or day."""
    for table in RECORD_TABLES:
        query = (
            select(col(table.entry_id))
            .join(Entry, col(Entry.id) == col(table.entry_id))
            .join(Visit, col(Visit.id) == col(Entry.visit_id))
            .where(
                sa.or_(
                    col(table.animal_id) != col(Entry.animal_id),
                    col(Entry.animal_id).is_(None),
                    col(table.visit_id) != col(Entry.visit_id),
                    col(table.farm_id) != col(Visit.farm_id),
                    col(table.date) != col(Visit.date),
                )
            )
        )
        yield from session.exec(query.distinct())


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
