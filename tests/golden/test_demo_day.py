"""The demo day through the real recogniser and the bundled model, with the network blocked."""

import json
import os
import signal
import socket
import sqlite3
import subprocess
import sys
import time
from contextlib import closing, suppress
from pathlib import Path

import pytest

from dictate.demo.replaying import _wanted, same_entry
from dictate.demo.running import DemoResult, run_demo
from dictate.demo.script import demo_folder, read_script
from dictate.hearing import open_engine
from dictate.large_work import Silent
from dictate.settings import Settings
from dictate.store.database import open_database
from dictate.store.record_queries import action_rows, finding_rows

pytestmark = pytest.mark.engine

CLIPS_RIGHT_MIN = 24
"""Of the 34 clips that hold something to record; a floor for the bundled model, not its measure."""


@pytest.fixture(scope="module")
def day(tmp_path_factory: pytest.TempPathFactory) -> DemoResult:
    """The demo, run once; any attempt to open a socket fails it."""
    home = tmp_path_factory.mktemp("demo")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(socket, "socket", _no_network)
        patch.setenv("DICTATE_HOME", str(home))
        return run_demo(
            demo_folder(),
            home / "day",
            Settings(home=home),
            lambda roster: open_engine(roster=roster),
            watcher=Silent(),
        )


def _no_network(*_args: object, **_kwargs: object) -> None:
    raise AssertionError("the program opened a socket")


def test_enough_clips_are_right_before_review(day: DemoResult) -> None:
    """The bundled model hears the demo day well enough to be of use."""
    assert CLIPS_RIGHT_MIN <= sum(clip.sites_right for clip in day.spoken)


def test_nothing_is_recorded_from_talk_and_noise(day: DemoResult) -> None:
    """Clips without a note give no entry that could slip through: each is marked."""
    assert all(entry.marks for clip in day.empty for entry in clip.entries)


def test_every_clip_left_something_in_the_queue(day: DemoResult) -> None:
    """No clip disappears, whatever was heard in it."""
    assert all(clip.entries for clip in day.clips)


def test_record_is_what_was_said(day: DemoResult) -> None:
    """After review the record holds the scripted entries, each once, and nothing else."""
    wanted = [values for note in read_script(demo_folder()).note for values in _wanted(note)]

    assert len(wanted) == len(day.confirmed)
    assert all(
        same_entry(values, right) for (_, values), right in zip(day.confirmed, wanted, strict=True)
    )


def test_rows_are_those_of_the_confirmed_entries(day: DemoResult) -> None:
    """The tables of the record hold one row for each confirmed finding and action."""
    with open_database(f"sqlite:///{day.database}") as database, database.reading() as session:
        findings, actions = finding_rows(session), action_rows(session)

    assert len(findings) == sum(len(values.findings) for _, values in day.confirmed)
    assert len(actions) == sum(len(values.actions) for _, values in day.confirmed)


def test_sheet_is_written(day: DemoResult) -> None:
    """The sheet is there and names the animal that goes to the vet."""
    assert "290" in day.sheet.read_text(encoding="utf-8")


@pytest.mark.parametrize("stop", [signal.SIGINT, signal.SIGKILL], ids=["ctrl-c", "kill-9"])
def test_stopped_while_hearing(tmp_path: Path, stop: signal.Signals) -> None:
    """A real run that is stopped in the middle is finished by the next one, without doubles."""
    clips = sorted(demo_folder().glob("*.opus"))[:8]
    environment = os.environ | {"DICTATE_HOME": str(tmp_path / "home")}
    command = [sys.executable, "-m", "dictate", "take-in", "--farm", "Alder Farm", *map(str, clips)]

    first = subprocess.Popen(command, env=environment, stderr=subprocess.PIPE)
    _wait_for_a_note(tmp_path / "home" / "record.db", first)
    first.send_signal(stop)
    first.communicate(timeout=60)
    assert first.returncode == (130 if stop == signal.SIGINT else -stop)

    second = subprocess.run(
        [*command, "--json"], env=environment, capture_output=True, text=True, check=True
    )
    told = json.loads(second.stdout)
    assert (0, 8, 0) == (told["new"], told["known"], told["refused"])
    listed = subprocess.run(
        [sys.executable, "-m", "dictate", "queue", "--json"],
        env=environment, capture_output=True, text=True, check=True,
    )  # fmt: skip
    waiting = json.loads(listed.stdout)
    assert {clip.name for clip in clips} == {entry["clip"] for entry in waiting}
    assert len(waiting) == len({(entry["clip"], entry["id"]) for entry in waiting})


def _wait_for_a_note(path: Path, running: subprocess.Popen) -> None:
    """Look often and cheaply: the run must not be over before it is stopped."""
    for _ in range(3000):
        assert running.poll() is None, running.stderr.read()
        with (
            suppress(sqlite3.OperationalError),
            closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as base,
        ):
            if base.execute("SELECT count(*) FROM note").fetchone()[0]:
                return
        time.sleep(0.02)
    raise AssertionError("nothing was heard within a minute")
