"""Copying an SQLite database while it is in use, and what its faults mean."""

import os
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from sqlalchemy.engine import make_url

from dictate.errors import StoreError
from dictate.store.database import io_error_remedy

BUSY_S = 15.0
_SQLITE_BUSY = 5
_SQLITE_LOCKED = 6


def sqlite_path(url: str) -> Path:
    """The file behind a database URL.

    Raises:
        StoreError: it is not an SQLite file.
    """
    parsed = make_url(url)
    if parsed.get_backend_name() != "sqlite" or not parsed.database:
        raise StoreError(
            "is not an SQLite file, so this command cannot copy it",
            where=parsed.render_as_string(),
            remedy="Use pg_dump and pg_restore: docs/how-to/use-postgresql.md",
        )
    return Path(parsed.database)


def copy_database(source: Path, target: Path) -> None:
    """SQLite's own backup, into a file that is complete by itself and on the disk."""
    with (
        closing(sqlite3.connect(source, timeout=BUSY_S)) as old,
        closing(sqlite3.connect(target)) as new,
    ):
        old.backup(new, progress=patience())
        # Else it could not be opened on a read-only disk.
        new.execute("PRAGMA journal_mode = DELETE")
    with target.open("rb+") as file:
        os.fsync(file.fileno())


def patience() -> Callable[[int, int, int], None]:
    """End a copy that waits too long for another program; SQLite's backup would wait for ever."""
    until = time.monotonic() + BUSY_S

    def check(status: int, _remaining: int, _total: int) -> None:
        if status in (_SQLITE_BUSY, _SQLITE_LOCKED) and time.monotonic() > until:
            raise sqlite3.OperationalError("database is locked")

    return check


def read_only_uri(path: Path) -> str:
    """What `sqlite3.connect` takes to open a file without changing anything, also beside it."""
    return f"{path.resolve().as_uri()}?immutable=1"


@contextmanager
def explained(where: Path) -> Iterator[None]:
    """Turn faults of SQLite and of the disk into errors that say what to do."""
    try:
        yield
    except sqlite3.DatabaseError as error:
        raise StoreError(str(error), where=str(where), remedy=_remedy(str(error), where)) from error
    except OSError as error:
        raise StoreError(
            error.strerror or str(error),
            where=str(error.filename or where),
            remedy="Free some space, make the folder writable, or name another one",
        ) from error


def _remedy(said: str, where: Path) -> str:
    if "I/O" in said:
        return io_error_remedy(where)
    if "locked" in said:
        return "Another program holds it: close it, or try again"
    if "full" in said:
        return "Free some space, or name another folder"
    return "The file is damaged or no database of this program: use an older backup"
