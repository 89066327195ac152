"""Putting a backup of an SQLite database back; what was there before is kept."""

import datetime as dt
import os
import sqlite3
from contextlib import closing
from pathlib import Path

from dictate.errors import StoreError
from dictate.store.backup import check_backup
from dictate.store.sqlite_copy import BUSY_S, copy_database, explained, patience, read_only_uri
from dictate.written import sync_folder

_SQLITE_DAMAGED = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)


def put_back(backup: Path, target: Path, *, now: dt.datetime) -> Path | None:
    """Make the database be what a backup says; return where what was there before is kept.

    A sound database is overwritten in one transaction, so a program that has it open sees the old
    or the new state, never a mixture. A damaged one is moved aside.

    Raises:
        NotFoundError, StoreError: as `check_backup`; also when the target cannot be written.
            The target is then as it was.
    """
    check_backup(backup)
    with explained(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        aside = _sound_copy(target, now) if target.exists() else None
        if aside is not None:
            _overwrite(backup, target)
        else:
            part = target.with_name(f".part-{os.getpid()}.db")
            try:
                copy_database(backup, part)  # first: a full disk must not leave the place empty
                aside = _moved_aside(target, now) if target.exists() else None
                part.replace(target)
            finally:
                part.unlink(missing_ok=True)
        sync_folder(target.parent)
    return aside


def _overwrite(backup: Path, target: Path) -> None:
    with (
        closing(sqlite3.connect(read_only_uri(backup), uri=True)) as source,
        closing(sqlite3.connect(target, timeout=BUSY_S)) as live,
    ):
        live.execute("PRAGMA journal_mode = WAL")
        live.execute("PRAGMA synchronous = FULL")
        source.backup(live, progress=patience())


def _sound_copy(target: Path, now: dt.datetime) -> Path | None:
    """Keep what the database was as a copy; None when it is damaged."""
    copy = target.with_name(f"before-restore-{now:%Y%m%dT%H%M%SZ}.db")
    try:
        copy_database(target, copy)
        check_backup(copy)
    except StoreError:
        copy.unlink(missing_ok=True)
        return None
    except sqlite3.DatabaseError as error:
        copy.unlink(missing_ok=True)
        if error.sqlite_errorcode & 0xFF not in _SQLITE_DAMAGED:
            raise  # no room, or held by another program: that says nothing about the record
        return None
    return copy


def _moved_aside(target: Path, now: dt.datetime) -> Path:
    """Move the files of a damaged database; the new name of the first."""
    aside = target.with_name(f"damaged-{now:%Y%m%dT%H%M%SZ}.db")
    for suffix in ("", "-wal", "-shm"):
        part = target.with_name(target.name + suffix)
        if part.exists():
            part.rename(aside.with_name(aside.name + suffix))
    return aside
