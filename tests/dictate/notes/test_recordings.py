"""Long recordings among the files: cut, taken in, and never twice."""

import datetime as dt
from pathlib import Path

import numpy as np
import pytest
import soundfile

from dictate.large_work import Silent
from dictate.notes.recordings import open_up, tidy
from dictate.notes.taking_in import Where
from dictate.notes.unfinished import begin, unfinished
from dictate.settings import Settings
from dictate.sound import read_sound
from tests.fake_engine import DEMO


class Listening(Silent):
    def __init__(self) -> None:
        self.faults: list[str] = []

    def fault(self, message: str) -> None:
        self.faults.append(message)


def recording(path: Path) -> Path:
    """Two demo notes in 40 seconds."""
    samples = np.random.default_rng(1).normal(0, 8, 16_000 * 40)
    for second, name in [(5, "20260302_082117"), (22, "20260302_084733")]:
        speech = read_sound(DEMO / f"{name}.opus").samples
        samples[16_000 * second : 16_000 * second + len(speech)] += speech
    soundfile.write(path, np.rint(samples).astype(np.int16), 16_000)
    return path


def test_recordings_are_replaced_by_their_notes(tmp_path: Path) -> None:
    """Short clips stay; a recording becomes its notes, the same ones again after tidying."""
    settings = Settings(home=tmp_path / "home")
    clip = DEMO / "20260302_082117.opus"
    day = recording(tmp_path / "day.flac")
    first = open_up(settings, [clip, day], longest=30, watcher=Silent())
    content = [path.read_bytes() for path in first.files]
    tidy(settings, first)

    assert clip == first.files[0]
    assert len(first.files) == 3
    assert not first.files[1].exists()
    again = open_up(settings, [clip, day], longest=30, watcher=Silent())
    assert [path.read_bytes() for path in again.files] == content


def test_a_bad_file_stays_and_a_cut_one_is_told(tmp_path: Path) -> None:
    """What is no sound is left for taking in to refuse; a recording that ends early gives notes."""
    settings = Settings(home=tmp_path / "home")
    bad = tmp_path / "bad.wav"
    bad.write_bytes(b"nothing")
    day = recording(tmp_path / "day.flac")
    day.write_bytes(day.read_bytes()[: day.stat().st_size // 2])
    watcher = Listening()
    opened = open_up(settings, [bad, day], longest=30, watcher=watcher)

    assert bad == opened.files[0]
    assert len(opened.files) == 2
    assert "ends early" in opened.faults[0]
    assert watcher.faults == list(opened.faults)


def test_an_interrupted_recording_is_named_and_gone_on_with(tmp_path: Path) -> None:
    """With the farm and the choices it was begun with, until its notes are taken in."""
    settings = Settings(home=tmp_path / "home")
    day = recording(tmp_path / "day.flac")
    where = Where(farm="Alder Farm", date=dt.date(2026, 3, 2), whole_herd=True)

    class Stopping(Silent):
        def step(self) -> None:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        open_up(settings, [day], where=where, everybody=True, longest=30, watcher=Stopping())

    (left,) = unfinished(settings)
    assert (left.path, left.where, left.everybody) == (day, where, True)
    assert left.there
    assert "day.flac (Alder Farm)" in left.line
    opened = open_up(settings, [left.path], where=left.where, longest=30, watcher=Silent())
    assert [left.path] == [one.path for one in unfinished(settings)]  # not taken in yet
    tidy(settings, opened)
    assert [] == unfinished(settings)


def test_a_recording_that_is_gone_is_still_named(tmp_path: Path) -> None:
    """The card was taken out: the line says where it was."""
    settings = Settings(home=tmp_path / "home")
    begin(settings, tmp_path / "card" / "day [1].m4a", Where(farm="Alder Farm"), everybody=False)

    (left,) = unfinished(settings)

    assert not left.there
    assert "not at" in left.line
    assert left.minutes_done == 0


def test_a_file_that_is_no_recording_is_not_named(tmp_path: Path) -> None:
    """Taking it in says what is wrong with it."""
    settings = Settings(home=tmp_path / "home")
    bad = tmp_path / "bad.wav"
    bad.write_bytes(b"nothing")

    open_up(settings, [bad], where=Where(farm="Alder Farm"), watcher=Silent())

    assert [] == unfinished(settings)
