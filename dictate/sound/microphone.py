"""Microphones: the real one, and one that plays files, both as a stream of 16 kHz chunks."""

import queue
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

import numpy as np
import soxr

from dictate.errors import SoundError
from dictate.sound.clip import Sound
from dictate.sound.devices import CAPTURE_RATE, NotThereError, Take, open_microphone
from dictate.sound.stream import RATE, blocks

_CHUNK_SECONDS = 0.1
_GONE_SECONDS = 2.0
"""A microphone that gives nothing for this long has been unplugged."""
_LATE_SECONDS = 0.5
"""Sound that comes this much later than due was lost in part."""

Opened = Callable[[str | None, Take], AbstractContextManager[None]]
"""What opens a microphone, as `dictate.sound.devices.open_microphone` does."""


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


_PAUSE_SECONDS = 2.0
"""Faint hiss after each file that is played."""


class FileMicrophone:
    """Plays sound files as if they were spoken now; for tests and for trying things out."""

    def __init__(
        self,
        paths: Sequence[Path],
        *,
        speed: float = 1.0,
        sleep: Callable[[float], None] = time.sleep,
    ) -> None:
        """Play `paths` one after another with a pause of faint hiss after each.

        `speed` 1 is real time; 0 is as fast as it is taken.
        """
        self._paths = paths
        self._speed = speed
        self._sleep = sleep

    def chunks(self) -> Iterator[Chunk]:
        """Give chunks of a tenth of a second at their due times."""
        began, given = time.monotonic(), 0
        hiss = np.random.default_rng(0).normal(0, 8, round(_PAUSE_SECONDS * RATE))
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
    """A microphone of this computer; comes back after unplugging."""

    def __init__(
        self,
        device: str | None = None,
        *,
        opened: Opened = open_microphone,
        sleep: Callable[[float], None] = time.sleep,
    ) -> None:
        """Take a device by its number or part of its name; None for the computer's choice.

        `opened` stands in for this computer's microphones, `sleep` for waiting.
        """
        self._device = device
        self._opened = opened
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
            except NotThereError as error:
                if first:
                    raise SoundError(
                        f"the microphone cannot be opened ({error})",
                        where=self._device or "default microphone",
                        remedy="Plug it in, and choose one of `dictate listen --list-devices`",
                    ) from error
            first = False
            yield Chunk(samples=np.zeros(0, np.int16), lost=True)
            self._sleep(1.0)

    def _plugged_in(self, *, lost: bool) -> Iterator[Chunk]:
        heard: queue.SimpleQueue[tuple[np.ndarray, float]] = queue.SimpleQueue()

        def take(samples: np.ndarray, at: float) -> None:
            heard.put((samples, at))

        resampler = soxr.ResampleStream(CAPTURE_RATE, RATE, 1, dtype="float32", quality="HQ")
        gaps = _Gaps()
        with self._opened(self._device, take):
            while True:
                try:
                    samples, at = heard.get(timeout=_GONE_SECONDS)
                except queue.Empty:
                    return
                missed = gaps.missed(len(samples), at)
                pcm = np.clip(np.rint(resampler.resample_chunk(samples) * 32768), -32768, 32767)
                yield Chunk(samples=pcm.astype(np.int16), lost=missed or lost)
                lost = False


class _Gaps:
    """Tells from the clock when less sound came than time passed: the service dropped some."""

    def __init__(self) -> None:
        self._due: float | None = None

    def missed(self, count: int, at: float) -> bool:
        """Whether sound was lost before a block of `count` samples that came at `at` seconds."""
        seconds = count / CAPTURE_RATE
        late = 0.0 if self._due is None else at - self._due
        # Blocks may come late and be made up for; the clock is set anew where none was.
        if self._due is None or late > _LATE_SECONDS:
            self._due = at + seconds
        else:
            self._due = max(self._due + seconds, at)
        return late > _LATE_SECONDS


def record(microphone: Microphone, seconds: float) -> Sound:
    """Hear some seconds, or until the microphone ends."""
    pieces: list[np.ndarray] = []
    for chunk in microphone.chunks():
        pieces.append(chunk.samples)
        if sum(map(len, pieces)) >= seconds * RATE:
            break
    return Sound.of(np.concatenate([np.zeros(0, np.int16), *pieces])[: round(seconds * RATE)])
