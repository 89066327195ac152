"""Opening the database, and the two ways to work with it: reading and writing."""

import shutil
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any, Self

import sqlalchemy as sa
from sqlalchemy import event
from sqlalchemy.engine import URL, Connection, make_url
from sqlalchemy.exc import ArgumentError, DataError, DBAPIError, NoSuchModuleError
from sqlmodel import Session

from dictate.errors import NotFoundError, StoreError
from dictate.store.integrity import seal_history
from dictate.store.migrate import bring_up_to_date

_BUSY_MS = 15_000


_REMEDIES = (
    ("database is locked", "Another program holds it: close it, or try again"),
    ("disk is full", "Free some space and run the same command again; nothing is lost"),
    ("readonly", "Make the file and its folder writable"),
    ("unable to open", "Check that the folder exists and is writable"),
    (
        "malformed",
        "The file is damaged: copy it, then put the newest backup back (`dictate restore`)",
    ),
    ("not a database", "The file is not a database of this program: name another in settings.toml"),
    ("append-only", "The history is only ever added to"),
)


class Database:
    """An open database; close it, or use it in a `with` block."""

    def __init__(self, engine: sa.Engine) -> None:
        self._engine = engine
        self._writer = engine.execution_options(dictate_writes=True)

    @property
    def url(self) -> URL:
        """Where it is; printing it hides the password."""
        return self._engine.url

    @property
    def engine(self) -> sa.Engine:
        return self._engine

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session that sees one state of the database; what it changes is dropped.

        Raises:
            StoreError: the database cannot be read.
            NotFoundError: a number was asked for that no row can have.
        """
        with _mapped(self.url), Session(self._engine) as session:
            yield session  # closing drops changes, and leaves what was read usable

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """A session whose changes are committed together at the end, or not at all.

        On SQLite it takes the write lock first, so that two programs take turns.

        Raises:
            StoreError: the database cannot be written.
        """
        with _mapped(self.url), Session(self._writer, expire_on_commit=False) as session:
            yield session
            session.flush()
            if self.url.get_backend_name() == "sqlite":
                seal_history(session.connection())
            session.commit()

    def close(self) -> None:
        self._engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()


def open_database(url: str) -> Database:
    """Open the database at an SQLAlchemy URL and bring its tables up to date.

    Raises:
        StoreError: it cannot be opened, is damaged, or was made by a newer version.
    """
    try:
        parsed = _with_driver(make_url(url))
        _make_folder(parsed)
        engine = sa.create_engine(parsed)
    except (ArgumentError, NoSuchModuleError, ModuleNotFoundError, OSError) as error:
        raise StoreError(
            f"cannot be opened: {error}",
            where=url.rsplit("@", maxsplit=1)[-1],
            remedy="Correct `database` in settings.toml",
        ) from error
    if parsed.get_backend_name() == "sqlite":
        event.listen(engine, "connect", _prepare_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    database = Database(engine)
    try:
        with _mapped(parsed):
            bring_up_to_date(engine.execution_options(dictate_writes=True))
    except StoreError:
        database.close()
        raise
    return database


def _with_driver(url: URL) -> URL:
    """Plain `postgresql://` means the driver that the `postgres` extra installs."""
    return url.set(drivername="postgresql+psycopg") if url.drivername == "postgresql" else url


def _make_folder(url: URL) -> None:
    named = url.database or ":memory:"
    # A `file:` name is SQLite's own URI: whoever writes one has the folder.
    if url.get_backend_name() == "sqlite" and not named.startswith((":memory:", "file:")):
        Path(named).parent.mkdir(parents=True, exist_ok=True)


def _prepare_sqlite(connection: sqlite3.Connection, _record: object) -> None:
    # The driver's own transaction handling starts too late for BEGIN IMMEDIATE and for DDL.
    connection.isolation_level = None
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout = {_BUSY_MS}")
    _switch_to_wal(cursor)
    # FULL: a confirmed entry survives a power cut, not only a crash of the program.
    cursor.execute("PRAGMA synchronous = FULL")
    cursor.execute("PRAGMA foreign_keys = ON")
    cursor.close()


def _switch_to_wal(cursor: sqlite3.Cursor) -> None:
    """Wait for the other programs of a new file: SQLite's busy timeout does not cover this switch."""
    until = time.monotonic() + _BUSY_MS / 1000
    while True:
        try:
            cursor.execute("PRAGMA journal_mode = WAL")
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode != sqlite3.SQLITE_BUSY or time.monotonic() > until:
                raise
            time.sleep(0.02)
        else:
            return


def _begin_sqlite(connection: Connection) -> None:
    writes = connection.get_execution_options().get("dictate_writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


@contextmanager
def _mapped(url: URL) -> Iterator[None]:
    """Turn the driver's errors into ours, with the remedy for the usual ones."""
    try:
        yield
    except (OverflowError, DataError) as error:
        if isinstance(error, DataError) and "out of range" not in str(error.orig):
            raise StoreError(
                str(error.orig), where=_where(url), remedy="Correct the value"
            ) from error
        raise NotFoundError(
            "there is nothing with so large a number", remedy="Check the number"
        ) from error
    except UnicodeEncodeError as error:
        raise StoreError(
            "bytes that are no letters cannot be kept", remedy="Write it in letters"
        ) from error
    except DBAPIError as error:
        said = str(error.orig)
        remedy = next((text for part, text in _REMEDIES if part in said), "Run `dictate doctor`")
        if "disk I/O error" in said and url.database:
            remedy = io_error_remedy(Path(url.database))
        raise StoreError(said.strip(), where=_where(url), remedy=remedy) from error


def _where(url: URL) -> Any:
    return url.database if url.get_backend_name() == "sqlite" else url.render_as_string()


_FULL = 2**20
"""Bytes; with less than this free, room is what is missing."""


def io_error_remedy(place: Path) -> str:
    """What to do about a disk I/O error in a file or folder."""
    there = next(folder for folder in (place, *place.absolute().parents) if folder.exists())
    if shutil.disk_usage(there).free < _FULL:
        return "The disk is full. Free some space and run the same command again; nothing is lost"
    return "The disk does not answer as it should: copy what is on it, and run `dictate doctor`"
