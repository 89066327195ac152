"""Microphones: the real one, and one that plays files, both as a stream of 16 kHz chunks."""

import queue
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import ModuleType
from typing import Any, Protocol

import numpy as np
import soxr

from dictate.errors import SoundError
from dictate.sound.clip import Sound
from dictate.sound.stream import RATE, blocks

__all__ = [
    "Chunk",
    "FileMicrophone",
    "HeadsetMicrophone",
    "Microphone",
    "as_device",
    "list_microphones",
    "portaudio",
    "record",
]

_CHUNK_SECONDS = 0.1
_GONE_SECONDS = 2.0
"""A microphone that gives nothing for this long has been unplugged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chunk:
    """The next piece of sound."""

    samples: np.ndarray = field(repr=False)
    """int16 mono at 16 kHz; may be empty."""
    lost: bool = False
    """True when sound before it was lost: the computer was too slow, or the plug was out."""


class Microphone(Protocol):
    """Anything that gives chunks of sound, in real time, without end or until it is over."""

    def chunks(self) -> Iterator[Chunk]:
        """Open it and give what it hears."""


class FileMicrophone:
    """Plays sound files as if they were spoken now; for tests and for trying things out."""

    def __init__(
        self,
        paths: Sequence[Path],
        *,
        pause_seconds: float = 2.0,
        speed: float = 1.0,
        sleep: Callable[[float], None] = time.sleep,
    ) -> None:
        """Play `paths` one after another with a pause of faint hiss after each.

        `speed` 1 is real time; 0 is as fast as it is taken.
        """
        self._paths = paths
        self._pause_seconds = pause_seconds
        self._speed = speed
        self._sleep = sleep

    def chunks(self) -> Iterator[Chunk]:
        """Give chunks of a tenth of a second at their due times."""
        began, given = time.monotonic(), 0
        hiss = np.random.default_rng(0).normal(0, 8, round(self._pause_seconds * RATE))
        for path in self._paths:
            sound = np.concatenate([*blocks(path), hiss.astype(np.int16)])
            for start in range(0, len(sound), round(_CHUNK_SECONDS * RATE)):
                samples = sound[start : start + round(_CHUNK_SECONDS * RATE)]
                given += len(samples)
                if self._speed:
                    due = began + given / RATE / self._speed
                    self._sleep(max(0.0, due - time.monotonic()))
                yield Chunk(samples=samples)


class HeadsetMicrophone:
    """A microphone of this computer, through PortAudio; comes back after unplugging."""

    def __init__(
        self,
        device: int | str | None = None,
        *,
        sounddevice: Any = None,
        sleep: Callable[[float], None] = time.sleep,
    ) -> None:
        """Take a device by its number or part of its name; None for the computer's choice.

        `sounddevice` stands in for the module of that name, `sleep` for waiting.
        """
        self._device = device
        self._portaudio = sounddevice or portaudio()
        self._sleep = sleep

    def chunks(self) -> Iterator[Chunk]:
        """Give what the microphone hears; while it is unplugged, an empty chunk a second.

        Raises:
            SoundError: there is no such microphone at the start.
        """
        first = True
        while True:
            try:
                yield from self._plugged_in(lost=not first)
            except self._portaudio.PortAudioError as error:
                if first:
                    raise SoundError(
                        f"the microphone cannot be opened ({error})",
                        where=str(self._device or "default microphone"),
                        remedy="Plug it in, and choose one of `dictate listen --list-devices`",
                    ) from error
            first = False
            yield Chunk(samples=np.zeros(0, np.int16), lost=True)
            self._sleep(1.0)
            # PortAudio lists devices only when it starts, so a plugged-in one needs a new start.
            self._portaudio._terminate()  # noqa: SLF001
            self._portaudio._initialize()  # noqa: SLF001

    def _plugged_in(self, *, lost: bool) -> Iterator[Chunk]:
        heard: queue.SimpleQueue[tuple[np.ndarray, bool]] = queue.SimpleQueue()

        def take(samples: np.ndarray, _frames: int, _time: Any, status: Any) -> None:
            heard.put((samples[:, 0].copy(), bool(status.input_overflow)))

        rate = int(self._portaudio.query_devices(self._device, "input")["default_samplerate"])
        resampler = soxr.ResampleStream(rate, RATE, 1, dtype="float32", quality="HQ")
        with self._portaudio.InputStream(
            samplerate=rate,
            device=self._device,
            channels=1,
            dtype="float32",
            blocksize=round(rate * _CHUNK_SECONDS),
            callback=take,
        ):
            while True:
                try:
                    samples, overflowed = heard.get(timeout=_GONE_SECONDS)
                except queue.Empty:
                    return
                pcm = np.clip(np.rint(resampler.resample_chunk(samples) * 32768), -32768, 32767)
                yield Chunk(samples=pcm.astype(np.int16), lost=overflowed or lost)
                lost = False


def as_device(name: str | None) -> int | str | None:
    """Read a device that a person named: a number counts as its number."""
    return int(name) if name and name.isdecimal() else name


def record(microphone: Microphone, seconds: float) -> Sound:
    """Hear some seconds, or until the microphone ends."""
    pieces: list[np.ndarray] = []
    for chunk in microphone.chunks():
        pieces.append(chunk.samples)
        if sum(map(len, pieces)) >= seconds * RATE:
            break
    return Sound.of(np.concatenate([np.zeros(0, np.int16), *pieces])[: round(seconds * RATE)])


def list_microphones() -> list[str]:
    """Name this computer's microphones, each with the number to choose it by.

    Raises:
        SoundError: live sound is not installed.
    """
    return [
        f"{device['index']}  {device['name']}"
        for device in portaudio().query_devices()
        if device["max_input_channels"]
    ]


def portaudio() -> ModuleType:
    """Give the sounddevice module.

    Raises:
        SoundError: it or the library under it is not installed.
    """
    try:
        import sounddevice  # noqa: PLC0415 (only live listening needs it)
    except ImportError as error:
        raise SoundError(
            "live sound is not installed", remedy="Run: pip install 'dictate[live]'"
        ) from error
    except OSError as error:
        raise SoundError(
            "the PortAudio library is missing",
            remedy="Install it with the system's package manager, e.g. apt install libportaudio2",
        ) from error
    return sounddevice
