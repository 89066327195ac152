"""Backups of an SQLite database: made while it is in use, and proved by opening them.

A backup folder holds `record-<time, UTC>.db`, each a whole database in one file; the settings of
the same moment beside it; and, when sound goes along, `sounds/` laid out as in the home folder.
"""

import datetime as dt
import os
import re
import shutil
import sqlite3
import time
from collections.abc import Iterable, Mapping
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from dictate.errors import NotFoundError, StoreError
from dictate.store.clips import FORGOTTEN
from dictate.store.migrate import HEAD, made_by_newer
from dictate.store.sqlite_copy import copy_database, explained, read_only_uri
from dictate.written import hash_file, make_folder, put_whole, sync_folder

_NAME = re.compile(r"record-\d{8}T\d{6}(-\d+)?Z\.db")
_COUNTED = ("clip", "note", "entry", "event", "finding", "action", "follow_up")
_STALE_S = 3600.0
"""Seconds after which a half-made file belongs to no running program."""


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
    with explained(folder):
        make_folder(folder)
        _sweep(folder)
        part = folder / f".part-{os.getpid()}.db"
        try:
            copy_database(source, part)
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
    with explained(path), closing(sqlite3.connect(read_only_uri(path), uri=True)) as found:
        faults = [row[0] for row in found.execute("PRAGMA integrity_check(5)")]
        links = found.execute("PRAGMA foreign_key_check").fetchmany(5)
        faults = [text for text in faults if text != "ok"] + [
            f"broken link in {row[0]}" for row in links
        ]
        if faults:
            raise StoreError("; ".join(faults), where=str(path), remedy="Use an older backup")
        revision = found.execute("SELECT version_num FROM alembic_version").fetchone()[0]
        if revision > HEAD:
            raise made_by_newer(revision, str(path))
        counts = {
            name: found.execute(f"SELECT count(*) FROM {name}").fetchone()[0]  # noqa: S608 (our names)
            for name in _COUNTED
        }
        confirmed = found.execute(
            "SELECT count(*) FROM entry WHERE state = 'confirmed'"
        ).fetchone()[0]
    return Checked(path=path, revision=revision, counts=counts | {"confirmed": confirmed})


def copy_sounds(source: Path, target: Path) -> int:
    """Copy the kept sounds that the target lacks; return how many. Names are hashes of the bytes.

    Raises:
        StoreError: one cannot be copied.
    """
    copied = 0
    with explained(target):
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
    with explained(backup), closing(sqlite3.connect(read_only_uri(backup), uri=True)) as found:
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
        return hash_file(path) == sha256
    except OSError:
        return False


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
