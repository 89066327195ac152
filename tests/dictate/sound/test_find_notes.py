"""Cutting long recordings: the state machine, and real speech in a built-up recording."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dictate.errors import SoundError
from dictate.sound import read_sound
from dictate.sound.chute_noise import chute_noise
from dictate.sound.find_notes import find_notes, near_voice
from dictate.sound.stretches import Pauses, Stretch, Tracker
from dictate.sound.voice_activity import FRAME
from tests.fake_engine import CLIPS

from .conftest import Write

FRAMES_A_SECOND = 16_000 / FRAME


def frames(*parts: tuple[float, float]) -> list[float]:
    """Probabilities from (seconds, probability) parts."""
    return [p for seconds, p in parts for _ in range(round(seconds * FRAMES_A_SECOND))]


def run(probabilities: list[float], pauses: Pauses | None = None) -> list[Stretch]:
    tracker = Tracker(pauses=pauses or Pauses())
    found = tracker.take(probabilities, [1e6 if p > 0.3 else 1e2 for p in probabilities])
    return found + tracker.finish(len(probabilities) * FRAME)


def test_a_pause_parts_two_notes() -> None:
    """Speech, a long pause and speech are two notes with a margin around each."""
    first, second = run(frames((2, 0), (3, 1), (2, 0), (1, 1), (2, 0)))

    assert first.start / 16_000 == pytest.approx(2 - 0.15, abs=0.05)
    assert first.end / 16_000 == pytest.approx(5 + 0.05, abs=0.05)
    assert second.start / 16_000 == pytest.approx(7 - 0.15, abs=0.08)
    assert second.seconds == pytest.approx(1.2, abs=0.1)


def test_a_breath_does_not_part_a_note() -> None:
    """A pause shorter than the setting stays inside the note."""
    assert len(run(frames((1, 0), (2, 1), (1.2, 0), (2, 1), (2, 0)))) == 1
    assert len(run(frames((1, 0), (2, 1), (1.2, 0), (2, 1), (2, 0)), Pauses(pause=1.0))) == 2


def test_a_clang_is_no_note() -> None:
    """Less speech than the least is dropped."""
    assert run(frames((1, 0), (0.2, 1), (3, 0))) == []


def test_speech_at_the_very_end_is_kept() -> None:
    """A recording that stops in the middle of a note keeps what was said."""
    probabilities = frames((1, 0), (2, 1))
    (note,) = run(probabilities)

    assert note.end == len(probabilities) * FRAME


def test_endless_talk_is_cut_at_a_breath() -> None:
    """Nobody talks for minutes in one note: it is cut at the next short breath."""
    talk = frames(*[(5, 1), (0.4, 0)] * 30)
    found = run(talk)

    assert len(found) == 3
    assert all(note.seconds < 70 for note in found[:-1])


@given(
    st.lists(
        st.tuples(st.floats(0.05, 4), st.sampled_from([0.0, 0.2, 0.4, 0.6, 1.0])), max_size=30
    ),
    st.integers(1, 400),
)
def test_cutting_the_stream_anywhere_changes_nothing(
    parts: list[tuple[float, float]], at: int
) -> None:
    """The state survives being written down and read back at any frame."""
    probabilities = frames(*parts)
    powers = [p * 1e6 for p in probabilities]
    whole = Tracker()
    expected = whole.take(probabilities, powers)
    first = Tracker()
    found = first.take(probabilities[:at], powers[:at])
    second = Tracker.model_validate_json(first.model_dump_json())
    found += second.take(probabilities[at:], powers[at:])

    assert expected == found
    assert whole.finish(10**9) == second.finish(10**9)


@given(st.lists(st.tuples(st.floats(0.05, 9), st.sampled_from([0.0, 0.4, 1.0])), max_size=40))
def test_stretches_are_in_order_and_apart(parts: list[tuple[float, float]]) -> None:
    """Stretches never overlap and never run out of the recording."""
    probabilities = frames(*parts)
    found = run(probabilities)
    edges = [edge for note in found for edge in (note.start, note.end)]

    assert edges == sorted(edges)
    assert not edges or edges[-1] <= len(probabilities) * FRAME


def stretch(voice_db: float) -> Stretch:
    return Stretch(start=0, end=16_000, speech_seconds=1.0, voice_db=voice_db)


def test_the_wearers_voice_is_kept() -> None:
    """Voices far below the wearer's own belong to somebody else."""
    own, other = [-24.0, -26.0, -22.0, -30.0], [-44.0, -48.0, -41.0]

    assert [s.voice_db for s in near_voice([stretch(db) for db in own + other])] == own
    assert near_voice([]) == []


@pytest.fixture(scope="module")
def day() -> tuple[np.ndarray, list[tuple[int, int]]]:
    """Six demo notes with 4 to 9 s of chute noise between them, and where each lies."""
    rng = np.random.default_rng(4)
    parts, true, at = [], [], 0
    for path in CLIPS[:6]:
        speech = read_sound(path).samples
        gap = chute_noise(rng.uniform(4, 9), rng)
        gap = np.rint(gap * 300).astype(np.int16)
        parts += [gap, speech]
        true.append((at + len(gap), at + len(gap) + len(speech)))
        at += len(gap) + len(speech)
    return np.concatenate(parts), true


def test_notes_of_a_recording_are_found(
    day: tuple[np.ndarray, list[tuple[int, int]]], write: Write
) -> None:
    """Every demo note in a long recording is found once, in its place, and nothing else."""
    samples, true = day
    found = find_notes(write("day.flac", samples / 32768))

    assert len(found) == len(true)
    for note, (start, end) in zip(found, true, strict=True):
        assert start - 4800 <= note.start < start + 16_000 * 1.5
        assert end - 16_000 * 1.5 < note.end <= end + 4800


class Stopped(Exception):
    """Stands for a kill at this moment."""


def test_interrupted_run_finds_the_same(
    day: tuple[np.ndarray, list[tuple[int, int]]], write: Write, tmp_path: Path
) -> None:
    """A run that is stopped goes on after its last finished minute, to the same notes."""
    path, state = write("day.flac", day[0] / 32768), tmp_path / "state.json"
    expected = find_notes(path)
    seen: list[int] = []

    def stop(number: int) -> None:
        seen.append(number)
        if number == 1:
            raise Stopped

    with pytest.raises(Stopped):
        find_notes(path, state=state, on_minute=stop)
    found = find_notes(path, state=state, on_minute=seen.append)

    assert expected == found
    assert seen == sorted(set(seen))


def test_state_of_another_file_is_not_used(
    day: tuple[np.ndarray, list[tuple[int, int]]], write: Write, tmp_path: Path
) -> None:
    """State belongs to one file and one setting; a torn state file is ignored."""
    samples, _ = day
    state = tmp_path / "state.json"
    find_notes(write("one.flac", samples[: 16_000 * 70] / 32768), state=state)
    other = write("two.flac", samples[16_000 * 30 : 16_000 * 100] / 32768)
    expected = find_notes(other)

    assert find_notes(other, state=state) == expected
    state.write_text("{", encoding="utf-8")
    assert find_notes(other, state=state) == expected


def test_cut_recording_is_refused(write: Write) -> None:
    """A half-copied recording is not quietly taken for a short day."""
    path = write("day.flac", np.random.default_rng(1).normal(0, 0.1, 160_000))
    path.write_bytes(path.read_bytes()[:60_000])

    with pytest.raises(SoundError, match="ends early"):
        find_notes(path)
