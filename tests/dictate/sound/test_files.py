"""Following a folder: files are given when they have settled, and not before."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from dictate.sound.files import settled_files


class Clock:
    """Time that passes only by sleeping; each second something happens in the folder."""

    def __init__(self, events: dict[int, Callable[[], object]]) -> None:
        self.now = 0.0
        self.events = events

    def sleep(self, seconds: float) -> None:
        self.now += seconds
        if self.now > 60:
            raise TimeoutError
        self.events.get(round(self.now), lambda: None)()


def follow(folder: Path, events: dict[int, Callable[[], object]]) -> list[tuple[int, list[str]]]:
    """What is given, and in which second, during a minute."""
    clock = Clock(events)
    found: list[tuple[int, list[str]]] = []
    watching: Iterator[list[Path]] = settled_files(
        lambda: sorted(folder.rglob("*.wav")), sleep=clock.sleep, clock=lambda: clock.now
    )
    with pytest.raises(TimeoutError):
        for files in watching:
            found.append((round(clock.now), [file.name for file in files]))
    return found


def append(path: Path) -> Callable[[], object]:
    def write() -> None:
        with path.open("ab") as file:
            file.write(b"sound")

    return write


def test_a_file_is_given_once_when_it_rests(tmp_path: Path) -> None:
    """A file that is there is given after three quiet seconds, and never again."""
    (tmp_path / "a.wav").write_bytes(b"sound")

    assert follow(tmp_path, {}) == [(3, ["a.wav"])]


def test_a_growing_file_is_waited_for(tmp_path: Path) -> None:
    """A copy in progress is not touched before it has come to rest."""
    grow = append(tmp_path / "a.wav")

    assert follow(tmp_path, dict.fromkeys(range(2, 21, 2), grow)) == [(23, ["a.wav"])]


def test_a_stopped_copy_is_given_again_when_it_goes_on(tmp_path: Path) -> None:
    """Half a file is given as it is, and the whole one later."""
    grow = append(tmp_path / "a.wav")

    assert follow(tmp_path, {2: grow, 30: grow}) == [(5, ["a.wav"]), (33, ["a.wav"])]


def test_unfinished_and_empty_files_are_left_alone(tmp_path: Path) -> None:
    """Hidden files, and files of no bytes yet, are not given."""
    (tmp_path / ".a.wav").write_bytes(b"sound")
    (tmp_path / "b.wav").touch()

    assert follow(tmp_path, {10: append(tmp_path / "b.wav")}) == [(13, ["b.wav"])]


def test_a_file_that_vanishes_is_forgotten(tmp_path: Path) -> None:
    """Pulling the card out in the middle stops nothing."""
    path = tmp_path / "a.wav"
    path.write_bytes(b"sound")

    assert follow(tmp_path, {1: path.unlink, 20: append(path)}) == [(23, ["a.wav"])]
