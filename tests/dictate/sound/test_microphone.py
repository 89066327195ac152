"""The headset's stream: right rate, lost sound told, back after the plug was pulled."""

from collections.abc import Iterator
from contextlib import contextmanager

import miniaudio
import numpy as np
import pytest

from dictate.errors import SoundError
from dictate.sound.devices import (
    CAPTURE_RATE,
    Loudspeaker,
    NotThereError,
    Take,
    list_microphones,
    open_microphone,
)
from dictate.sound.microphone import HeadsetMicrophone, record

BLOCK = CAPTURE_RATE // 10
NOTHING = [miniaudio.Backend.NULL]
"""The sound library's own stand-in: hears silence and plays to nobody, in real time."""

Plan = list[list[tuple[np.ndarray, float]] | None]
"""What each opening gives: None for a device that is not there, else blocks and when they come."""


def planned(plan: Plan):
    """Stand in for this computer's microphones."""

    @contextmanager
    def opened(_device: str | None, take: Take) -> Iterator[None]:
        blocks = plan.pop(0) if plan else None
        if blocks is None:
            raise NotThereError("no such device")
        for samples, at in blocks:
            take(samples, at)
        yield

    return opened


def tone(blocks: int) -> list[tuple[np.ndarray, float]]:
    samples = 0.5 * np.sin(2 * np.pi * 440 * np.arange(BLOCK * blocks) / CAPTURE_RATE)
    parts = np.split(samples.astype(np.float32), blocks)
    return [(part, 0.1 * number) for number, part in enumerate(parts)]


@pytest.fixture(autouse=True)
def short_silence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dictate.sound.microphone._GONE_SECONDS", 0.05)


def headset(plan: Plan, device: str | None = None) -> HeadsetMicrophone:
    return HeadsetMicrophone(device, opened=planned(plan), sleep=lambda _: None)


def test_sound_comes_at_16_khz() -> None:
    """A 48 kHz device is heard at 16 kHz, in order and in full."""
    pieces = []
    for chunk in headset([tone(20)]).chunks():
        if chunk.lost:
            break
        pieces.append(chunk.samples)
    sound = np.concatenate(pieces)

    assert len(sound) == pytest.approx(32_000, abs=800)
    spectrum = np.abs(np.fft.rfft(sound[:16_000]))
    assert spectrum.argmax() == 440
    assert np.abs(sound).max() == pytest.approx(16_384, rel=0.05)


def test_dropped_sound_is_told() -> None:
    """The block that comes a second later than due is marked, and only that one."""
    blocks = [(samples, at + (number >= 3)) for number, (samples, at) in enumerate(tone(6))]
    chunks = headset([blocks]).chunks()

    assert [next(chunks).lost for _ in range(6)] == [False, False, False, True, False, False]


def test_blocks_that_come_late_together_lost_nothing() -> None:
    """A busy computer gets blocks in bursts; nothing is missing while the sum is right."""
    blocks = [(samples, (number // 4 + 1) * 0.4) for number, (samples, _) in enumerate(tone(12))]
    chunks = headset([blocks]).chunks()

    assert not any(next(chunks).lost for _ in range(12))


def test_unplugging_and_plugging_in_again() -> None:
    """A pulled plug gives empty chunks, marked; the sound after it comes through, marked once."""
    chunks = headset([tone(3), None, None, tone(3)]).chunks()
    seen = [next(chunks) for _ in range(9)]

    assert [len(chunk.samples) > 0 for chunk in seen] == [True] * 3 + [False] * 3 + [True] * 3
    assert [chunk.lost for chunk in seen] == [False] * 3 + [True] * 4 + [False] * 2


def test_no_microphone_at_the_start_is_told() -> None:
    """Without a microphone to begin with there is nothing to wait for."""
    with pytest.raises(SoundError, match=r"USB.*Plug it in"):
        next(headset([None], "USB").chunks())


def test_the_sound_library_itself_is_heard(monkeypatch: pytest.MonkeyPatch) -> None:
    """Miniaudio's own stand-in for a device gives silence in real time, through all our code."""
    monkeypatch.setattr("dictate.sound.microphone._GONE_SECONDS", 2.0)
    microphone = HeadsetMicrophone(
        opened=lambda device, take: open_microphone(device, take, NOTHING)
    )
    sound = record(microphone, 0.5)

    assert sound.seconds == 0.5
    assert not sound.samples.any()


def test_devices_go_by_number_or_name() -> None:
    """A device is chosen by its number or part of its name, as they are listed."""
    (listed,) = list_microphones(NOTHING)
    number, name = listed.split("  ")

    for chosen in (number, name[:4], None):
        with open_microphone(chosen, lambda *_: None, NOTHING):
            pass
    for missing in ("7", "USB"):
        with pytest.raises(NotThereError), open_microphone(missing, lambda *_: None, NOTHING):
            pass


def test_playing_and_falling_silent() -> None:
    """A sound can be cut off, and another played after it."""
    speaker = Loudspeaker(16_000, NOTHING)
    for _ in range(2):
        speaker.play(np.zeros(1600, np.int16))
        speaker.stop()
