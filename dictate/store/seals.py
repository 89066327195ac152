"""The history under seal, so that a change made outside the program is found.

Each commit that adds events adds a seal: the SHA-256 of the seal before and of every event since, as
they stand in the file. Whoever changes an old event breaks every seal after it. Only SQLite's file has
seals: it has one writer at a time, so the order of its events is the order of its commits; on a server
the server's own means watch over who writes.

What a seal cannot show: a file that was put back to an older state as a whole. Backups do.
"""

import hashlib
import json

import sqlalchemy as sa

from dictate.entry.wording import counted

_START = "0" * 64
_EVENTS = (
    "SELECT id, at, who, kind, subject, subject_id, act, before, after, undoes_id"
    " FROM event WHERE id > ? AND id <= ? ORDER BY id"
)


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
