"""A full disk, a read-only one, damage and a held lock: a clear message, and nothing confirmed is lost."""

import json
import os
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import day
import pytest
from forked import dictate

from dictate.errors import StoreError
from dictate.review.waiting import waiting
from dictate.store.backup import back_up
from dictate.store.database import open_database
from dictate.store.tables import Farm


@pytest.fixture
def home(lived_in: Path, tmp_path: Path) -> Path:
    """The same in a folder of this test."""
    return Path(shutil.copytree(lived_in, tmp_path / "home"))


def test_no_room_to_write(home: Path, tmp_path: Path) -> None:
    """A write that the disk refuses ends in one line, and the record is as it was."""
    before = day.state(home)
    roster = tmp_path / "roster.csv"
    roster.write_text("number\n" + "\n".join(str(n) for n in range(1000, 3000)) + "\n")

    done = dictate(home, "roster", "import", str(roster), "--farm", "Alder Farm", limit=40_000)

    assert 5 == done.code, done.err
    assert "Traceback" not in done.err
    assert before == day.state(home)


def test_no_room_for_a_backup(home: Path, tmp_path: Path) -> None:
    """A backup that does not fit leaves no file that looks like one, and drops no older one."""
    older = sorted((home / "backups").iterdir())

    done = dictate(home, "backup", "--keep", "1", limit=40_000)

    assert 5 == done.code, done.err
    assert "Traceback" not in done.err
    assert older == sorted((home / "backups").iterdir())


def test_damaged_page_is_named(home: Path) -> None:
    """`dictate doctor` says that the file is damaged and what to do; it does not repair by guessing."""
    path = home / "record.db"
    with closing(sqlite3.connect(path)) as plain:
        plain.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        plain.execute("PRAGMA journal_mode = DELETE")
        root, size = (
            plain.execute("SELECT rootpage FROM sqlite_master WHERE name = 'event'").fetchone()[0],
            plain.execute("PRAGMA page_size").fetchone()[0],
        )
    with path.open("r+b") as file:
        file.seek((root - 1) * size)
        file.write(os.urandom(size))

    found = json.loads(dictate(home, "doctor", "--json").out)

    database = [one for one in found if one["part"] == "database"]
    assert [False] == [one["ok"] for one in database]
    assert "backup" in database[0]["remedy"]


def test_lock_held_by_another_program(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A confirmation that cannot get the lock is refused with a message, and the entry still waits."""
    monkeypatch.setattr("dictate.store.database._BUSY_MS", 50)
    with (
        closing(sqlite3.connect(home / "record.db", isolation_level=None)) as other,
        open_database(f"sqlite:///{home / 'record.db'}") as database,
    ):
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreError, match="locked") as caught, database.writing() as session:
            session.add(Farm(name="Never"))
        other.execute("ROLLBACK")

    assert "close it" in caught.value.remedy


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_read_only_folder(home: Path) -> None:
    """On a read-only disk the message names the file."""
    (home / "record.db").chmod(0o444)
    home.chmod(0o555)
    try:
        with pytest.raises(StoreError) as caught, open_database(f"sqlite:///{home / 'record.db'}") as database, database.writing() as session:  # fmt: skip
            session.add(Farm(name="Never"))
    finally:
        home.chmod(0o755)
    assert "writable" in caught.value.remedy


def test_read_only_database(home: Path) -> None:
    """A database that SQLite opened read-only refuses a write with the remedy, also for root."""
    with open_database(f"sqlite:///file:{home / 'record.db'}?mode=ro&uri=true") as database:
        with database.reading() as session:
            assert 0 == len(waiting(session))
        with pytest.raises(StoreError, match="readonly") as caught, database.writing() as session:
            session.add(Farm(name="Never"))
    assert "writable" in caught.value.remedy


def test_backup_of_a_damaged_database_keeps_the_good_ones(home: Path) -> None:
    """Rotation never trades a good backup for a copy of a damaged file."""
    good = sorted((home / "backups").glob("record-*.db"))
    (home / "record.db").write_bytes(b"\xff" * 20_000)
    for suffix in ("-wal", "-shm"):
        (home / f"record.db{suffix}").unlink(missing_ok=True)

    with pytest.raises(StoreError):
        back_up(home / "record.db", home / "backups", keep=1, now=day.NOW)

    assert good == sorted((home / "backups").glob("record-*.db"))
