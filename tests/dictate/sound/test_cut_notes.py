"""Notes cut out of a recording: their sound, their names, their tags, and going on after a kill."""

import datetime as dt
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from dictate.sound import LONGEST_SECONDS, describe, read_sound, recorded_at
from dictate.sound.cut_notes import cut_recording, is_long
from tests.fake_engine import DEMO

from .conftest import Write
from .test_find_notes import Stopped

ZONE = ZoneInfo("Europe/Dublin")


@pytest.fixture
def recording(write: Write) -> Path:
    """Two demo notes and a distant one, in faint hiss, 75 seconds."""
    samples = np.random.default_rng(1).normal(0, 8, 16_000 * 75)
    for second, name, gain in [
        (10, "20260302_082117", 1.0),
        (30, "20260302_084733", 1.0),
        (63, "20260302_091148", 0.02),
    ]:
        speech = read_sound(DEMO / f"{name}.opus").samples * gain
        samples[16_000 * second : 16_000 * second + len(speech)] += speech
    return write("20260302_080000.flac", samples / 32768)


def test_notes_are_cut_with_their_place(recording: Path, tmp_path: Path) -> None:
    """A cut note holds exactly the samples of its place, and its own moment."""
    first, second = cut_recording(recording, tmp_path / "cut", zone=ZONE).files
    whole = read_sound(recording).samples
    tags = describe(first).tags
    start, end = int(tags["cut_start_sample"]), int(tags["cut_end_sample"])

    assert np.array_equal(read_sound(first).samples, whole[start:end])
    assert first.name.startswith("20260302_080010_")
    assert second.name.startswith("20260302_080030_")
    known = recorded_at(first)
    assert known.source == "file name"
    expected = dt.datetime(2026, 3, 2, 8, tzinfo=ZONE) + dt.timedelta(seconds=start / 16_000)
    assert abs(known.moment - expected) < dt.timedelta(milliseconds=1)


def test_others_are_listed_and_cut_on_request(recording: Path, tmp_path: Path) -> None:
    """A distant voice is not taken for the wearer's, unless everybody is wanted."""
    assert len(cut_recording(recording, tmp_path / "cut").files) == 2
    assert len(cut_recording(recording, tmp_path / "cut", everybody=True).files) == 3


def test_running_again_gives_the_same_files(recording: Path, tmp_path: Path) -> None:
    """After a stop, or once more for nothing, the same bytes lie there."""
    expected = [file.read_bytes() for file in cut_recording(recording, tmp_path / "whole").files]

    def stop(_: int) -> None:
        raise Stopped

    with pytest.raises(Stopped):
        cut_recording(recording, tmp_path / "cut", on_minute=stop)
    for _ in range(2):
        files = cut_recording(recording, tmp_path / "cut").files
        assert [file.read_bytes() for file in files] == expected
    files[1].unlink()
    files = cut_recording(recording, tmp_path / "cut").files
    assert [file.read_bytes() for file in files] == expected


def test_recording_that_ends_early_is_cut_as_far_as_it_goes(
    recording: Path, tmp_path: Path
) -> None:
    """When the battery died, the notes before that are kept; a fuller copy repeats them exactly."""
    whole = cut_recording(recording, tmp_path / "cut")
    content = recording.read_bytes()
    recording.write_bytes(content[: int(len(content) * 0.7)])
    cut = cut_recording(recording, tmp_path / "cut")

    assert not whole.fault
    assert "ends early" in cut.fault
    assert [f.read_bytes() for f in cut.files] == [f.read_bytes() for f in whole.files]


def test_long_and_short(recording: Path, write: Write) -> None:
    """What is too long for a clip is a long recording."""
    assert not is_long(recording)
    assert is_long(write("day.wav", np.zeros(int((LONGEST_SECONDS + 5) * 8000)), 8000))
