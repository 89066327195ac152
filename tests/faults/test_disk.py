"""A full disk, a read-only one, damage and a held lock: a clear message, and nothing confirmed is lost."""

import json
import os
import resource
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import day
import pytest

from dictate.errors import StoreError
from dictate.review.deciding import confirm
from dictate.review.waiting import waiting
from dictate.store.backup import back_up
from dictate.store.database import open_database
from dictate.store.tables import Farm

DEMO = day.AUDIO


def _dictate(home: Path, *words: str, limit: int | None = None) -> subprocess.CompletedProcess[str]:
    """Run the command in a process of its own; `limit` caps the bytes of any file it writes."""

    def cap() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))

    return subprocess.run(  # noqa: S603 (our own words)
        [sys.executable, "-c", "import signal; signal.signal(signal.SIGXFSZ, signal.SIG_IGN); from dictate.cli.main import run; run()", *words],
        env=os.environ | {"DICTATE_HOME": str(home)},
        preexec_fn=cap if limit else None,  # noqa: PLW1509 (no threads here)
        capture_output=True, text=True, check=False, timeout=300,
    )  # fmt: skip


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A home with a day's confirmed record."""
    folder = tmp_path / "home"
    folder.mkdir()
    day.run_day(folder)
    return folder


def test_no_room_to_write(home: Path, tmp_path: Path) -> None:
    """A write that the disk refuses ends in one line, and the record is as it was."""
    before = day.state(home)
    roster = tmp_path / "roster.csv"
    roster.write_text("number\n" + "\n".join(str(n) for n in range(1000, 9000)) + "\n")

    done = _dictate(home, "roster", "import", str(roster), "--farm", "Alder Farm", limit=40_000)

    assert 5 == done.returncode, done.stderr
    assert "Traceback" not in done.stderr
    assert before == day.state(home)


def test_no_room_for_a_backup(home: Path, tmp_path: Path) -> None:
    """A backup that does not fit leaves no file that looks like one, and drops no older one."""
    older = sorted((home / "backups").iterdir())

    done = _dictate(home, "backup", "--keep", "1", limit=40_000)

    assert 5 == done.returncode, done.stderr
    assert "Traceback" not in done.stderr
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

    found = json.loads(_dictate(home, "doctor", "--json").stdout)

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


def test_clock_set_back_between_confirmations(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The history's order does not hang on the clock: undo takes back what was done last."""
    import datetime as dt  # noqa: PLC0415

    from dictate.hearing import FakeEngine  # noqa: PLC0415
    from dictate.notes.pipeline import run_batch  # noqa: PLC0415
    from dictate.notes.taking_in import Where  # noqa: PLC0415
    from dictate.review.deciding import amend  # noqa: PLC0415
    from dictate.review.undoing import undo  # noqa: PLC0415
    from dictate.settings import Settings  # noqa: PLC0415
    from dictate.sound import hash_file  # noqa: PLC0415

    settings = Settings(home=tmp_path, trimmer="Robin Field")
    path = day.files()[0]
    engine = FakeEngine({hash_file(path): day.SAYS[0]})
    hours = iter((18, 17, 16, 15))
    for module in ("dictate.review.deciding", "dictate.store.tables"):
        monkeypatch.setattr(f"{module}.now", lambda: dt.datetime(2026, 3, 2, next(hours, 3), tzinfo=dt.UTC))
    with open_database(settings.database_url) as database:
        run_batch(database, settings, [path], Where(farm="Alder Farm"), lambda _roster: engine)
        with database.reading() as session:
            (entry,) = waiting(session)
        with database.writing() as session:
            confirm(session, entry.id, by="Robin Field", version=entry.version)
        with database.writing() as session:
            amend(session, entry.id, {"remark": "later, by an earlier clock"}, by="Robin Field")
        with database.writing() as session:
            undone = undo(session, entry.id, by="Robin Field")

    assert ("confirmed", None) == (undone.state, undone.content["remark"])
