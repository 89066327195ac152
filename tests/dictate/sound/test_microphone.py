"""The headset, over a stand-in for PortAudio that is opened, starved and unplugged."""

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from dictate.errors import SoundError
from dictate.sound.microphone import HeadsetMicrophone


class Unplugged(Exception):
    """The error that PortAudio raises for a device that is not there."""


class FakePortAudio:
    """What `sounddevice` looks like from here: a 48 kHz device that plays a plan.

    Each opening of the stream takes the next item of the plan: None for a device that is not
    there, or the blocks (samples, overflowed) that it gives before it falls silent.
    """

    PortAudioError = Unplugged

    def __init__(self, plan: list[list[tuple[np.ndarray, bool]] | None]) -> None:
        self.plan = plan
        self.starts = 0

    def query_devices(self, device: int | str | None, kind: str) -> dict[str, Any]:
        if not self.plan or self.plan[0] is None:
            if self.plan:
                self.plan.pop(0)
            raise Unplugged("no such device")
        return {"default_samplerate": 48_000.0}

    def InputStream(self, *, callback: Any, **_: Any) -> "FakePortAudio":  # noqa: N802
        for samples, overflowed in self.plan.pop(0) or []:
            status = SimpleNamespace(input_overflow=overflowed)
            callback(samples.reshape(-1, 1), len(samples), None, status)
        return self

    def __enter__(self):
        return self

    def __exit__(self, *_: object) -> None:
        pass

    def _terminate(self) -> None:
        pass

    def _initialize(self) -> None:
        self.starts += 1


def tone(blocks: int) -> list[tuple[np.ndarray, bool]]:
    samples = 0.5 * np.sin(2 * np.pi * 440 * np.arange(4800 * blocks) / 48_000)
    return [(part.astype(np.float32), False) for part in np.split(samples, blocks)]


@pytest.fixture(autouse=True)
def short_silence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dictate.sound.microphone._GONE_SECONDS", 0.05)


def test_sound_comes_at_16_khz() -> None:
    """A 48 kHz device is heard at 16 kHz, in order and in full."""
    microphone = HeadsetMicrophone(sounddevice=FakePortAudio([tone(20)]), sleep=lambda _: None)
    pieces = []
    for chunk in microphone.chunks():
        if chunk.lost:
            break
        pieces.append(chunk.samples)
    sound = np.concatenate(pieces)

    assert len(sound) == pytest.approx(32_000, abs=800)
    spectrum = np.abs(np.fft.rfft(sound[:16_000]))
    assert spectrum.argmax() == 440
    assert np.abs(sound).max() == pytest.approx(16_384, rel=0.05)


def test_overflow_is_told() -> None:
    """A block before which PortAudio lost sound is marked."""
    blocks = tone(5)
    blocks[3] = (blocks[3][0], True)
    microphone = HeadsetMicrophone(sounddevice=FakePortAudio([blocks]), sleep=lambda _: None)
    chunks = microphone.chunks()

    assert [next(chunks).lost for _ in range(5)] == [False, False, False, True, False]


def test_unplugging_and_plugging_in_again() -> None:
    """A pulled plug gives empty chunks, marked; the sound after it comes through, marked once."""
    fake = FakePortAudio([tone(3), None, None, tone(3)])
    chunks = HeadsetMicrophone(sounddevice=fake, sleep=lambda _: None).chunks()
    seen = [next(chunks) for _ in range(9)]

    assert [len(chunk.samples) > 0 for chunk in seen] == [True] * 3 + [False] * 3 + [True] * 3
    assert [chunk.lost for chunk in seen] == [False] * 3 + [True] * 4 + [False] * 2
    assert fake.starts == 3


def test_no_microphone_at_the_start_is_told() -> None:
    """Without a microphone to begin with there is nothing to wait for."""
    microphone = HeadsetMicrophone("USB", sounddevice=FakePortAudio([None]), sleep=lambda _: None)

    with pytest.raises(SoundError, match="USB.*Plug it in"):
        next(microphone.chunks())
