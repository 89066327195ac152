"""Copies of an SQLite database: made while it is in use, proved by opening them, and put back.

A backup folder holds `record-<time, UTC>.db`, each a whole database in one file; the settings of
the same moment beside it; and, when sound goes along, `sounds/` laid out as in the home folder.
"""

import datetime as dt
import hashlib
import os
import re
import shutil
import sqlite3
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy.engine import make_url

from dictate.errors import NotFoundError, StoreError
from dictate.store.database import HEAD
from dictate.store.disk import io_error_remedy
from dictate.store.queries import FORGOTTEN
from dictate.written import make_folder, put_whole, sync_folder

_NAME = re.compile(r"record-\d{8}T\d{6}(-\d+)?Z\.db")
_COUNTED = ("clip", "note", "entry", "event", "finding", "action", "follow_up")
_BUSY_S = 15.0
_STALE_S = 3600.0
"""Seconds after which a half-made file belongs to no running program."""
_SQLITE_BUSY = 5
_SQLITE_LOCKED = 6
_SQLITE_DAMAGED = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """A database file that was opened and found whole."""

    path: Path
    revision: str
    """Its migration."""
    counts: Mapping[str, int]
    """Rows of the main tables, and `confirmed` entries."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Backup:
    """A backup that was made and proved."""

    checked: Checked
    dropped: tuple[Path, ...]
    """Older backups that rotation removed."""


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


def back_up(
    source: Path, folder: Path, *, keep: int, now: dt.datetime, beside: Iterable[Path] = ()
) -> Backup:
    """Copy the database as it is at one moment, prove the copy, then drop the oldest ones.

    Args:
        source: The database file; programs may be writing to it.
        folder: Where backups are kept.
        keep: How many to keep, the newest ones; 0 keeps all.
        now: The time for the name.
        beside: Small files to copy along, such as the settings.

    The copy gets its name only once it was opened and found whole, so a stop at any moment leaves
    either a good backup or none; older ones go only after that.

    Raises:
        NotFoundError: there is no database yet.
        StoreError: it cannot be copied, or the copy is not whole.
    """
    if not source.exists():
        raise NotFoundError(f"there is no database at {source}", remedy="Nothing was taken in yet")
    with _explained(folder):
        make_folder(folder)
        _sweep(folder)
        part = folder / f".part-{os.getpid()}.db"
        try:
            _copy(source, part)
            checked = check_backup(part)
            target = _free_name(folder, now)
            for path in beside:
                if path.exists():
                    shutil.copyfile(path, target.with_suffix(f".{path.name}"))
            part.replace(target)
            sync_folder(folder)
        finally:
            part.unlink(missing_ok=True)
        dropped = backups_in(folder)[:-keep] if keep else []
        for old in dropped:
            for path in folder.glob(f"{old.stem}.*"):
                path.unlink()
    found = Checked(path=target, revision=checked.revision, counts=checked.counts)
    return Backup(checked=found, dropped=tuple(dropped))


def backups_in(folder: Path) -> list[Path]:
    """The backups of a folder, oldest first."""
    found = (path for path in folder.glob("record-*.db") if _NAME.fullmatch(path.name))
    return sorted(found, key=lambda path: path.stem.removesuffix("Z"))


def check_backup(path: Path) -> Checked:
    """Open a database file, changing nothing, and prove it whole.

    Raises:
        NotFoundError: it is not there.
        StoreError: it is damaged, is no database of this program, or a newer version made it.
    """
    if not path.is_file():
        raise NotFoundError(f"there is no backup {path}", remedy="Name a record-….db file")
    with _explained(path), closing(sqlite3.connect(_uri(path), uri=True)) as found:
        faults = [row[0] for row in found.execute("PRAGMA integrity_check(5)")]
        links = found.execute("PRAGMA foreign_key_check").fetchmany(5)
        faults = [text for text in faults if text != "ok"] + [
            f"broken link in {row[0]}" for row in links
        ]
        if faults:
            raise StoreError("; ".join(faults), where=str(path), remedy="Use an older backup")
        revision = found.execute("SELECT version_num FROM alembic_version").fetchone()[0]
        if revision > HEAD:
            raise StoreError(
                f"was made by a newer version of dictate (tables {revision}, this program knows {HEAD})",
                where=str(path),
                remedy="Install the newer version",
            )
        counts = {
            name: found.execute(f"SELECT count(*) FROM {name}").fetchone()[0]  # noqa: S608 (our names)
            for name in _COUNTED
        }
        confirmed = found.execute(
            "SELECT count(*) FROM entry WHERE state = 'confirmed'"
        ).fetchone()[0]
    return Checked(path=path, revision=revision, counts=counts | {"confirmed": confirmed})


def put_back(backup: Path, target: Path, *, now: dt.datetime) -> Path | None:
    """Make the database be what a backup says; return where what was there before is kept.

    A sound database is overwritten in one transaction, so a program that has it open sees the old
    or the new state, never a mixture. A damaged one is moved aside.

    Raises:
        NotFoundError, StoreError: as `check_backup`; also when the target cannot be written.
            The target is then as it was.
    """
    check_backup(backup)
    with _explained(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        aside = _sound_copy(target, now) if target.exists() else None
        if aside is not None:
            _overwrite(backup, target)
        else:
            part = target.with_name(f".part-{os.getpid()}.db")
            try:
                _copy(backup, part)  # first: a full disk must not leave the place empty
                aside = _moved_aside(target, now) if target.exists() else None
                part.replace(target)
            finally:
                part.unlink(missing_ok=True)
        sync_folder(target.parent)
    return aside


def copy_sounds(source: Path, target: Path) -> int:
    """Copy the kept sounds that the target lacks; return how many. Names are hashes of the bytes.

    Raises:
        StoreError: one cannot be copied.
    """
    copied = 0
    with _explained(target):
        for path in sorted(source.glob("??/*")):
            there = target / path.relative_to(source)
            if path.name.startswith(".") or there.exists():
                continue
            make_folder(there.parent)
            part = there.with_name(f".part-{there.name}")
            shutil.copyfile(path, part)
            with part.open("rb+") as file:
                os.fsync(file.fileno())
            put_whole(part, there)
            copied += 1
    return copied


def check_sounds(backup: Path, *folders: Path) -> tuple[str, ...]:
    """Names of the backup's clips whose sound is in none of the folders, or is altered."""
    with _explained(backup), closing(sqlite3.connect(_uri(backup), uri=True)) as found:
        clips = found.execute(
            # A row of a list of past treatments never had sound, and its clip has no suffix.
            "SELECT sha256, suffix, file_name FROM clip WHERE suffix != '' AND id NOT IN"
            " (SELECT subject_id FROM event WHERE subject = 'clip' AND kind = ?) ORDER BY id",
            (FORGOTTEN,),
        ).fetchall()
    return tuple(
        name
        for sha256, suffix, name in clips
        if not any(
            _is_whole(folder / sha256[:2] / f"{sha256}{suffix}", sha256) for folder in folders
        )
    )


def _is_whole(path: Path, sha256: str) -> bool:
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest() == sha256
    except OSError:
        return False


def _copy(source: Path, target: Path) -> None:
    """SQLite's own backup, into a file that is complete by itself and on the disk."""
    with (
        closing(sqlite3.connect(source, timeout=_BUSY_S)) as old,
        closing(sqlite3.connect(target)) as new,
    ):
        old.backup(new, progress=_patience())
        new.execute(
            "PRAGMA journal_mode = DELETE"
        )  # else it could not be opened on a read-only disk
    with target.open("rb+") as file:
        os.fsync(file.fileno())


def _patience() -> Callable[[int, int, int], None]:
    """End a copy that waits too long for another program; SQLite's backup would wait for ever."""
    until = time.monotonic() + _BUSY_S

    def check(status: int, _remaining: int, _total: int) -> None:
        if status in (_SQLITE_BUSY, _SQLITE_LOCKED) and time.monotonic() > until:
            raise sqlite3.OperationalError("database is locked")

    return check


def _overwrite(backup: Path, target: Path) -> None:
    with (
        closing(sqlite3.connect(_uri(backup), uri=True)) as source,
        closing(sqlite3.connect(target, timeout=_BUSY_S)) as live,
    ):
        live.execute("PRAGMA journal_mode = WAL")
        live.execute("PRAGMA synchronous = FULL")
        source.backup(live, progress=_patience())


def _sound_copy(target: Path, now: dt.datetime) -> Path | None:
    """Keep what the database was as a copy; None when it is damaged."""
    copy = target.with_name(f"before-restore-{now:%Y%m%dT%H%M%SZ}.db")
    try:
        _copy(target, copy)
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


def _free_name(folder: Path, now: dt.datetime) -> Path:
    """A name that sorts by time, also when two are made in one second or the clock went back."""
    stamp = f"{now:%Y%m%dT%H%M%S}"
    newest = [path.name[7:22] for path in backups_in(folder)][-1:]
    stamp = max([stamp, *newest])
    names = (f"record-{stamp}{f'-{n:03}' if n else ''}Z.db" for n in range(1000))
    return next(folder / name for name in names if not (folder / name).exists())


def _sweep(folder: Path) -> None:
    """Remove what a killed run left half made."""
    for left in folder.glob(".part-*.db*"):
        if time.time() - left.stat().st_mtime > _STALE_S:
            left.unlink(missing_ok=True)


def _uri(path: Path) -> str:
    return f"{path.resolve().as_uri()}?immutable=1"


@contextmanager
def _explained(where: Path) -> Iterator[None]:
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
