"""A connection that can only read, for people who know SQL."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import sqlalchemy as sa
from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from dictate.errors import StoreError

_READS = {
    sqlite3.SQLITE_SELECT,
    sqlite3.SQLITE_READ,
    sqlite3.SQLITE_FUNCTION,
    sqlite3.SQLITE_RECURSIVE,
    sqlite3.SQLITE_TRANSACTION,
}
_PRAGMAS = {
    "table_info",
    "table_xinfo",
    "table_list",
    "index_list",
    "index_info",
    "foreign_key_list",
}


class Asked:
    """Runs one question after another."""

    def __init__(self, connection: sa.Connection) -> None:
        self._connection = connection

    def __call__(self, query: str) -> tuple[tuple[str, ...], list[tuple[Any, ...]]]:
        """Return the headings and rows of one statement.

        Raises:
            StoreError: the statement is wrong, or is more than reading.
        """
        try:
            result = self._connection.exec_driver_sql(query)
            rows = [tuple(row) for row in result] if result.returns_rows else []
            headings = tuple(result.keys()) if result.returns_rows else ()
        except (DBAPIError, SQLAlchemyError, sqlite3.Warning, UnicodeEncodeError) as error:
            self._connection.rollback()
            said = str(getattr(error, "orig", error)).strip()
            raise StoreError(
                said,
                remedy="Only reading is possible here; docs/reference/database.md names tables and columns",
            ) from error
        self._connection.rollback()
        return headings, rows


@contextmanager
def reading_only(url: str) -> Iterator[Asked]:
    """Open the database at an SQLAlchemy URL so that nothing in it, or beside it, can change."""
    parsed = sa.make_url(url)
    engine = sa.create_engine(parsed)
    if parsed.get_backend_name() == "sqlite":
        sa.event.listen(engine, "connect", _only_reading)
    else:
        engine = engine.execution_options(
            isolation_level="REPEATABLE READ", postgresql_readonly=True
        )
    try:
        with engine.connect() as connection:
            yield Asked(connection)
    finally:
        engine.dispose()


def _only_reading(connection: sqlite3.Connection, _record: object) -> None:
    connection.execute("PRAGMA query_only = ON")
    connection.set_authorizer(_allow)


def _allow(action: int, first: str | None, *_: str | None) -> int:
    # ATTACH would make files and PRAGMA could turn writing on again, so only reading is let through.
    if action in _READS or (action == sqlite3.SQLITE_PRAGMA and first in _PRAGMAS):
        return sqlite3.SQLITE_OK
    return sqlite3.SQLITE_DENY
