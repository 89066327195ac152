"""Listening live: everything on disk first, notes as they end, nothing lost by a power cut."""

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from dictate.errors import SoundError
from dictate.sound import read_sound, recorded_at
from dictate.sound.journal import recover
from dictate.sound.live import Listener, only_one
from dictate.sound.microphone import Chunk, FileMicrophone, record
from tests.fake_engine import DEMO

CLIPS = [DEMO / f"20260302_{time}.opus" for time in ("082117", "084733", "105537")]
BEGAN = dt.datetime(2026, 3, 2, 8, tzinfo=dt.timezone(dt.timedelta(hours=1)))


def listener(folder: Path) -> Listener:
    return Listener(folder, now=lambda: BEGAN)


def spoken(paths: list[Path]) -> Iterator[Chunk]:
    return FileMicrophone(paths, speed=0).chunks()


def test_each_note_becomes_a_file(tmp_path: Path) -> None:
    """Three spoken notes are three files with their own moments; the journal goes."""
    notes = list(listener(tmp_path).notes(spoken(CLIPS)))

    assert len(notes) == 3
    assert sorted(path.name for path in tmp_path.iterdir()) == [note.path.name for note in notes]
    for note in notes:
        assert len(read_sound(note.path).samples) == note.stretch.end - note.stretch.start
        expected = BEGAN + dt.timedelta(seconds=note.stretch.start / 16_000)
        assert abs(recorded_at(note.path).moment - expected) < dt.timedelta(milliseconds=1)


def test_a_note_is_given_when_its_pause_is_over(tmp_path: Path) -> None:
    """A note is there within a second of sound after its end, not when the next one begins."""
    given: list[int] = []

    def counted() -> Iterator[Chunk]:
        for chunk in spoken(CLIPS[:1]):
            given.append(len(chunk.samples))
            yield chunk

    note = next(listener(tmp_path).notes(counted()))

    assert sum(given) - note.stretch.end < 16_000


def test_sound_is_on_disk_before_anything_else(tmp_path: Path) -> None:
    """At every moment all but the last second lies in the journal, readable."""
    heard = 0

    def watched() -> Iterator[Chunk]:
        nonlocal heard
        for chunk in spoken(CLIPS[:1]):
            journal = tmp_path / "20260302_080000.journal.wav"
            if heard > 16_000:
                size = (journal.stat().st_size - 44) // 2
                assert heard - size < 16_000
            yield chunk
            heard += len(chunk.samples)

    list(listener(tmp_path).notes(watched()))
    assert heard > 16_000


def test_power_loss_costs_nothing_that_was_spoken(tmp_path: Path) -> None:
    """After a cut in the middle, the journal gives the note that had not been written yet, once."""

    def until_cut() -> Iterator[Chunk]:
        yield from spoken(CLIPS[:1])
        for number, chunk in enumerate(spoken(CLIPS[1:2])):
            if number == 40:
                raise KeyboardInterrupt
            yield chunk

    written = []
    with pytest.raises(KeyboardInterrupt):
        for note in listener(tmp_path).notes(until_cut()):
            written.append(note.path)
    assert len(written) == 1
    assert len(list(tmp_path.glob("*.journal.wav"))) == 1
    (tmp_path / "20260302_080009_000144000.part").write_bytes(b"fLaC")  # being written at the cut

    first, second = recover(tmp_path)
    assert [first] == written
    assert read_sound(second).seconds > 2
    assert sorted(tmp_path.iterdir()) == [first, second]


def test_what_was_taken_in_before_a_power_loss_is_not_doubled(tmp_path: Path) -> None:
    """A note whose file went into the record's keeping is not cut from the journal again."""

    def until_cut() -> Iterator[Chunk]:
        yield from spoken(CLIPS[:2])
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        for note in listener(tmp_path).notes(until_cut()):
            note.path.unlink()

    assert recover(tmp_path) == []
    assert list(tmp_path.iterdir()) == []


def test_two_programs_never_listen_into_one_folder(tmp_path: Path) -> None:
    """The second would go through the journal that the first still writes, and remove it."""
    lock = tmp_path / "listening.lock"
    with only_one(lock):
        with pytest.raises(SoundError, match="another program is listening"), only_one(lock):
            pass
        with pytest.raises(SoundError), only_one(lock):  # the refused one took no lock away
            pass
    with only_one(lock):
        pass


def test_a_draft_is_the_note_to_come(tmp_path: Path) -> None:
    """What is given to be understood early is, sample for sample, the note that follows."""
    listening = listener(tmp_path)
    drafts: list[np.ndarray] = []
    listening.on_draft = drafts.append
    notes = list(listening.notes(spoken(CLIPS)))

    assert len(drafts) >= 3
    for note in notes:
        samples = read_sound(note.path).samples
        assert any(np.array_equal(draft, samples) for draft in drafts)


def test_lost_sound_is_counted(tmp_path: Path) -> None:
    """A gap in the sound is counted, for the day and for the note it fell into."""

    def with_gap() -> Iterator[Chunk]:
        for number, chunk in enumerate(spoken(CLIPS[:2])):
            yield Chunk(samples=chunk.samples, lost=number == 20)

    listening = listener(tmp_path)
    first, second = listening.notes(with_gap())

    assert listening.lost == 1
    assert (first.lost, second.lost) == (1, 0)


def test_silence_is_forgotten(tmp_path: Path) -> None:
    """Memory does not grow while nobody speaks."""
    listening = listener(tmp_path)
    hiss = np.random.default_rng(1).normal(0, 8, 16_000).astype(np.int16)

    assert list(listening.notes(Chunk(samples=hiss) for _ in range(30))) == []
    assert len(listening._held) < 5 * 16_000


def test_a_file_microphone_keeps_time() -> None:
    """Sound comes when it is due: the sleeps add up to its length."""
    now = 0.0

    def sleep(seconds: float) -> None:
        nonlocal now
        now = max(now, seconds)

    seconds = sum(
        len(chunk.samples) / 16_000 for chunk in FileMicrophone(CLIPS[:1], sleep=sleep).chunks()
    )
    assert now == pytest.approx(seconds, abs=2.0)


def test_missing_file_says_so(tmp_path: Path) -> None:
    """A file to play that is not there is named."""
    with pytest.raises(SoundError, match="not there"):
        list(FileMicrophone([tmp_path / "gone.wav"]).chunks())


def test_some_seconds_are_recorded() -> None:
    """Recording takes the asked length, or what there is."""
    microphone = FileMicrophone(CLIPS[:1], speed=0)

    assert record(microphone, 3.0).seconds == 3.0
    assert 6 < record(microphone, 60.0).seconds < 8
