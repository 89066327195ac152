"""File systems that are really full or really read-only: small ones in memory, mounted for a test."""

import json
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import day
import pytest
from forked import dictate

from dictate.errors import StoreError
from dictate.store.backup import back_up, check_backup
from dictate.store.clips import entry_by_id
from dictate.store.database import open_database
from dictate.store.restore import put_back
from dictate.store.tables import Entry
from tests.deciding import amend
from tests.fake_engine import CLIPS


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    """An empty file system of 8 MB."""
    place = tmp_path / "disk"
    place.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=8m", "tmpfs", str(place)]
    try:
        done = subprocess.run(mount, capture_output=True, text=True, check=False)
    except OSError as error:
        pytest.skip(f"no file system can be mounted here: {error}")
    if done.returncode:
        pytest.skip(f"no file system can be mounted here: {done.stderr.strip()}")
    try:
        yield place
    finally:
        subprocess.run(["umount", "--lazy", str(place)], check=True)


@pytest.fixture
def home(disk: Path, lived_in: Path) -> Path:
    """A day's confirmed record on it."""
    return Path(shutil.copytree(lived_in, disk / "home"))


def _fill(disk: Path) -> Path:
    """Write until nothing more fits."""
    filler = disk / "filler"
    with filler.open("wb", buffering=0) as file:
        for size in (65_536, 4096, 1):
            try:
                while file.write(bytes(size)):
                    pass
            except OSError:
                continue
    assert shutil.disk_usage(disk).free < 4096
    return filler


def _again(disk: Path, how: str) -> None:
    subprocess.run(["mount", "-o", f"remount,{how}", str(disk)], check=True)


def test_taking_in_on_a_full_disk_goes_on_when_there_is_room(home: Path, disk: Path) -> None:
    """One line names the full disk; nothing is half kept, and the same command finishes the work."""
    before = day.state(home)
    clips = [str(path) for path in CLIPS[4:7]]
    filler = _fill(disk)

    done = dictate(home, "take-in", *clips, "--farm", "Alder Farm")

    assert 5 == done.code, done.err
    assert "Traceback" not in done.err
    assert "Free some space" in done.err
    assert not list((home / "sounds").glob("*/.part-*"))
    filler.unlink()
    assert before == day.state(home)
    again = dictate(home, "take-in", *clips, "--farm", "Alder Farm")
    assert 0 == again.code, again.err
    assert len(before["sounds"]) + 3 == len(day.state(home)["sounds"])


def test_deciding_on_a_full_disk_changes_nothing(home: Path, disk: Path) -> None:
    """A change that finds no room is refused as a whole, and goes through when there is room again."""
    url = f"sqlite:///{home / 'record.db'}"
    before = day.state(home)
    with open_database(url) as database:
        filler = _fill(disk)
        with pytest.raises(StoreError, match="full") as caught, database.writing() as session:
            amend(session, 1, {"remark": "a remark " * 20_000}, by="Robin Field")
        assert "Free some space" in caught.value.remedy
        with database.reading() as session:
            assert not entry_by_id(session, 1).content["remark"]
        filler.unlink()
    assert before == day.state(home)
    with open_database(url) as database, database.writing() as session:
        amend(session, 1, {"remark": "now"}, by="Robin Field")
        assert "now" == session.get_one(Entry, 1).content["remark"]


def test_backup_and_restore_on_a_full_disk_leave_what_was_there(
    lived_in: Path, home: Path, disk: Path
) -> None:
    """Neither leaves half a file; older backups and the record stay."""
    older = {path.name: path.read_bytes() for path in (home / "backups").iterdir()}
    (backup,) = (lived_in / "backups").glob("record-*.db")
    before = day.state(home)
    filler = _fill(disk)

    with pytest.raises(StoreError, match=r"full|No space|I/O") as caught:
        back_up(home / "record.db", home / "backups", keep=1, now=day.NOW)
    with pytest.raises(StoreError, match=r"full|No space|I/O"):
        put_back(backup, home / "record.db", now=day.NOW)

    assert "Free some space" in caught.value.remedy
    filler.unlink()
    assert older == {path.name: path.read_bytes() for path in (home / "backups").iterdir()}
    assert before == day.state(home)
    assert check_backup(home / "record.db")


def test_doctor_names_a_full_and_a_read_only_disk(home: Path, disk: Path) -> None:
    """What is wrong stands in its answer, whatever else it cannot do."""
    _fill(disk)
    full = {one["part"]: one for one in json.loads(dictate(home, "doctor", "--json").out)}
    assert not full["disk"]["ok"]
    assert "Free some space" in full["disk"]["remedy"]
    (disk / "filler").unlink()

    _again(disk, "ro")
    read_only = {one["part"]: one for one in json.loads(dictate(home, "doctor", "--json").out)}
    _again(disk, "rw")

    assert not read_only["home"]["ok"]
    assert "writable" in read_only["home"]["remedy"]


def test_a_read_only_disk_is_named_by_every_way_to_write(home: Path, disk: Path) -> None:
    """Taking in and deciding end in one line with the remedy; the record is as it was."""
    before = day.state(home)
    clip = str(CLIPS[5])
    _again(disk, "ro")

    results = [
        dictate(home, "take-in", clip, "--farm", "Alder Farm"),
        dictate(home, "backup"),
        dictate(home, "undo", "1"),
    ]

    _again(disk, "rw")
    for done in results:
        assert 5 == done.code, done.err
        assert "Traceback" not in done.err
        assert "writable" in done.err
    assert before == day.state(home)


def test_restore_over_damage_on_a_full_disk_leaves_the_damaged_file(
    lived_in: Path, home: Path, disk: Path
) -> None:
    """The damaged record is moved aside only once the backup has found room beside it."""
    (backup,) = (lived_in / "backups").glob("record-*.db")
    (home / "record.db").write_bytes(b"\xff" * 20_000)
    filler = _fill(disk)

    with pytest.raises(StoreError, match=r"full|No space|I/O"):
        put_back(backup, home / "record.db", now=day.NOW)

    assert b"\xff" * 20_000 == (home / "record.db").read_bytes()
    filler.unlink()
    put_back(backup, home / "record.db", now=day.NOW)
    assert check_backup(home / "record.db")
