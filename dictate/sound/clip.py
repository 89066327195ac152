"""One short piece of sound: samples, where they came from, and the hash that names them."""

import hashlib
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from dictate.errors import SoundError
from dictate.sound.stream import RATE, blocks, describe
from dictate.written import hash_file

LONGEST_SECONDS = 900.0
"""A clip holds a note or a few; anything longer is a long recording and is cut on its pauses."""
_SILENT_PEAK = 33
"""int16; -60 dB below full scale. A live microphone's hiss alone is louder."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sound:
    """Mono speech at 16 kHz."""

    samples: np.ndarray = field(repr=False)
    """int16, shape (n,)."""
    sha256: str
    """Of the file's bytes, hexadecimal; of the samples' bytes for sound that never was a file."""
    seconds: float
    source_rate: int
    """Samples a second in the file."""
    channels: int
    """Channels in the file."""
    path: Path | None = None

    @property
    def silent(self) -> bool:
        """True when there is nothing on it at all: a switched-off or unplugged microphone."""
        return int(np.abs(self.samples.astype(np.int32)).max(initial=0)) < _SILENT_PEAK

    @classmethod
    def of(cls, samples: np.ndarray, *, path: Path | None = None) -> "Sound":
        """Make one from 16 kHz int16 samples that never were a file of their own."""
        samples = np.ascontiguousarray(samples, dtype=np.int16)
        return cls(
            samples=samples,
            sha256=hashlib.sha256(samples.tobytes()).hexdigest(),
            seconds=len(samples) / RATE,
            source_rate=RATE,
            channels=1,
            path=path,
        )


def read_sound(path: Path | str) -> Sound:
    """Read a clip: any format FFmpeg decodes, any rate, any number of channels.

    Args:
        path: The file.

    Raises:
        SoundError: the file is missing, empty, cut short, locked, unreadable, not sound, or
            longer than `LONGEST_SECONDS`; the message names the file and says what to do.
    """
    path = Path(path)
    facts = describe(path)
    if (facts.seconds or 0) > LONGEST_SECONDS + 1:
        raise _too_long(path)
    pieces: list[np.ndarray] = []
    length = 0
    for block in blocks(path):
        pieces.append(block)
        length += len(block)
        if length > LONGEST_SECONDS * RATE:
            raise _too_long(path)
    return Sound(
        samples=np.concatenate(pieces),
        sha256=hash_file(path),
        seconds=length / RATE,
        source_rate=facts.source_rate,
        channels=facts.channels,
        path=path,
    )


def _too_long(path: Path) -> SoundError:
    return SoundError(
        f"is longer than {LONGEST_SECONDS / 60:.0f} minutes",
        where=str(path),
        remedy="Take it in as a long recording, which is cut into notes on its pauses",
    )
