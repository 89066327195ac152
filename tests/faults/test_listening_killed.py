"""Kill -9 of a running `dictate listen`: what was spoken by then is in the queue, each note once."""

import itertools
import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import numpy as np
import pytest
import soundfile

from dictate.sound import RATE, describe, read_sound
from tests.fake_engine import DEMO

pytestmark = pytest.mark.engine

FIRST = DEMO / "20260302_092755.opus"
ANIMAL = "290"
"""Of the first note, by demo_audio/notes.toml."""
SECOND = DEMO / "20260302_105537.opus"
BETWEEN = 2.0
"""Seconds of hiss that a played file is followed by."""


def _listening(home: Path, *play: Path) -> subprocess.Popen:
    return subprocess.Popen(
        [sys.executable, "-m", "dictate", "listen", "--farm", "Alder Farm", "--voice", "",
         *(word for path in play for word in ("--play", str(path)))],
        env=os.environ | {"DICTATE_HOME": str(home)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )  # fmt: skip


def _spoken(home: Path) -> float:
    """Seconds of sound that lie in the journal."""
    return sum(path.stat().st_size / 2 / RATE for path in home.glob("live/*.journal.wav"))


SPOKEN = len(read_sound(FIRST).samples) / RATE + BETWEEN + 2.5
MOMENTS: dict[str, Callable[[Path], bool]] = {
    "a note is cut": lambda home: bool(list(home.glob("live/*.flac"))),
    "the second note is being spoken": lambda home: _spoken(home) > SPOKEN,
}


@pytest.mark.parametrize("moment", MOMENTS)
def test_killed_while_listening(tmp_path: Path, moment: str) -> None:
    """The next start of `listen` takes in what the journal holds, once, and clears the folder."""
    first = _listening(tmp_path, FIRST, SECOND)
    while not MOMENTS[moment](tmp_path):
        assert first.poll() is None, first.stderr.read()
        time.sleep(0.01)
    first.kill()
    first.communicate()
    assert first.returncode == -signal.SIGKILL
    journal = [path.name for path in tmp_path.glob("live/*.journal.wav")]
    assert len(journal) == 1, "listening ended before the kill"

    quiet = tmp_path / "quiet.wav"
    soundfile.write(quiet, np.random.default_rng(1).normal(0, 8, RATE).astype(np.int16), RATE)
    again = _listening(tmp_path, quiet)
    assert again.communicate(timeout=120)[0] is None
    assert again.returncode == 0

    kept = [describe(path).tags for path in sorted(tmp_path.glob("sounds/*/*.flac"))]
    places = sorted((int(tags["cut_start_sample"]), int(tags["cut_end_sample"])) for tags in kept)
    with closing(sqlite3.connect(tmp_path / "record.db")) as base:
        rows = base.execute(
            "SELECT clip.id, json_extract(content, '$.animal') FROM clip"
            " JOIN note ON note.clip_id = clip.id JOIN entry ON entry.note_id = note.id"
            " ORDER BY clip.file_name"
        ).fetchall()
    spoken = 2 if moment == "the second note is being spoken" else 1
    assert [tags["cut_from"] for tags in kept] == journal * spoken
    assert all(a[1] <= b[0] for a, b in itertools.pairwise(places)), "a note twice"
    assert places[-1][1] / RATE > (SPOKEN - 1.5 if spoken == 2 else 3)
    assert len(rows) == len({clip for clip, _ in rows}) == spoken
    assert rows[0][1] == ANIMAL
    assert list((tmp_path / "live").iterdir()) == []
