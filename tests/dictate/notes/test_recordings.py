"""Long recordings among the files: cut, taken in, and never twice."""

from pathlib import Path

import numpy as np
import soundfile

from dictate.notes.recordings import open_up, tidy
from dictate.notes.watcher import Silent
from dictate.settings import Settings
from dictate.sound import read_sound

DEMO = Path(__file__).parents[3] / "demo_audio"


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
    tidy(settings)

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
