"""Speaking: short lines through the headset with eSpeak NG, and three tones."""

import ctypes
import threading
from collections.abc import Callable
from enum import StrEnum
from functools import cache
from typing import Any, Protocol

import numpy as np
import soxr

from dictate.errors import SoundError
from dictate.sound.stream import RATE


class Tone(StrEnum):
    """What became of a note, for an ear among machines."""

    UNDERSTOOD = "understood"
    LOOK = "wants a look"
    NOT_UNDERSTOOD = "not understood"


_LEVEL = 0.2
"""Of a tone, from 0 to 1."""
_TONES = {
    Tone.UNDERSTOOD: ((880.0, 0.09), (1320.0, 0.12)),
    Tone.LOOK: ((880.0, 0.12), (0.0, 0.05), (880.0, 0.12)),
    Tone.NOT_UNDERSTOOD: ((440.0, 0.16), (294.0, 0.25)),
}
"""(Hz, seconds) one after another: rising is well, twice the same wants a look, falling is not."""


class Voice(Protocol):
    """Turns a line into sound. Any text-to-speech library can stand here."""

    def speak(self, text: str) -> np.ndarray:
        """Say `text`: int16 mono at 16 kHz."""


class Player(Protocol):
    """Where sound for the ear goes."""

    def play(self, samples: np.ndarray) -> None:
        """Begin to play int16 mono at 16 kHz, in place of anything still playing."""

    def stop(self) -> None:
        """Be quiet at once."""


class SilentPlayer:
    """Keeps what it was given; for tests and for `--quiet`."""

    def __init__(self) -> None:
        self.played: list[np.ndarray] = []
        self.stopped = 0

    def play(self, samples: np.ndarray) -> None:
        """Keep the sound."""
        self.played.append(samples)

    def stop(self) -> None:
        """Count it."""
        self.stopped += 1


def make_tone(tone: Tone) -> np.ndarray:
    """Make a tone: int16 at 16 kHz, without clicks at its edges."""
    parts = []
    for hz, seconds in _TONES[tone]:
        t = np.arange(round(seconds * RATE)) / RATE
        edge = np.minimum(1, np.minimum(t, t[::-1]) / 0.008)
        parts.append(np.sin(2 * np.pi * hz * t) * edge * _LEVEL)
    return np.rint(np.concatenate(parts) * 32767).astype(np.int16)


class EspeakVoice:
    """eSpeak NG out of the `espeakng-loader` package: no program, no network.

    The library keeps one voice for the whole process; a lock makes lines wait for each other.
    """

    _lock = threading.Lock()
    _UTF8 = 1
    _RATE_PARAMETER = 1

    def __init__(self, *, voice: str = "en", words_a_minute: int = 175) -> None:
        """Load a voice.

        Raises:
            SoundError: the package is not installed, or has no such voice.
        """
        self._voice = voice.encode()
        self._words_a_minute = words_a_minute
        with self._lock:
            self._espeak, self._rate = _espeak()
            known = self._espeak.espeak_SetVoiceByName(self._voice) == 0
        if not known:
            raise SoundError("eSpeak NG has no such voice", where=voice, remedy="Try en or en-us")

    def speak(self, text: str) -> np.ndarray:
        """Say `text`: int16 mono at 16 kHz."""
        pieces: list[np.ndarray] = []

        def take(wave: Any, count: int, _events: Any) -> int:
            if wave and count:
                pieces.append(np.ctypeslib.as_array(wave, (count,)).copy())
            return 0

        callback = _TAKE(take)
        said = text.encode()
        with self._lock:
            self._espeak.espeak_SetVoiceByName(self._voice)
            self._espeak.espeak_SetParameter(self._RATE_PARAMETER, self._words_a_minute, 0)
            self._espeak.espeak_SetSynthCallback(callback)
            self._espeak.espeak_Synth(said, len(said) + 1, 0, 1, 0, self._UTF8, None, None)
        wave = np.concatenate([np.zeros(0, np.int16), *pieces])
        return soxr.resample(wave, self._rate, RATE).astype(np.int16)


# The other ways start a thread of the library's own, which may outlive a callback.
_SYNCHRONOUS = 2


@cache
def _espeak() -> tuple[ctypes.CDLL, int]:
    """The library, started once for the process, and its samples a second."""
    try:
        import espeakng_loader  # noqa: PLC0415 (only speaking needs it)
    except ImportError as error:
        raise SoundError(
            "speaking is not installed", remedy="Run: pip install 'dictate[live]'"
        ) from error
    library = ctypes.CDLL(espeakng_loader.get_library_path())
    rate = library.espeak_Initialize(_SYNCHRONOUS, 0, espeakng_loader.get_data_path().encode(), 0)
    if rate <= 0:
        raise SoundError(
            "eSpeak NG cannot start", remedy="Run: pip install --force-reinstall espeakng-loader"
        )
    return library, rate


_TAKE: Callable[..., Any] = ctypes.CFUNCTYPE(
    ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.c_void_p
)
