"""Stretches of speech: they begin and end with it, and hold no longer pause than allowed."""

from collections.abc import Sequence

import numpy as np
from pydantic import BaseModel, ConfigDict

from dictate.sound.stream import RATE
from dictate.sound.voice_activity import FRAME, FRAME_SECONDS, SPEECH_MIN

_KEEP_ON_MIN = 0.35
"""A frame right after speech belongs to it above this (hysteresis)."""
_RUN_MIN = 4
"""Frames in a row that make speech begin, or go on after a pause: an eighth of a second."""


class _Frozen(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Pauses(_Frozen):
    """What parts one note from the next, in seconds."""

    pause: float = 1.5
    """Silence that ends a note."""
    speech_min: float = 0.3
    """A stretch with less speech than this is a cough or a clang, not a note."""
    longest: float = 60.0
    """A note longer than this is cut at the next short breath."""
    breath: float = 0.25
    before: float = 0.15
    """Sound kept before the first speech; the model needs a moment to be sure of a beginning."""
    after: float = 0.05
    """Sound kept after the last speech; the model lingers on an end by itself."""


class Stretch(_Frozen):
    """A piece of the recording in which somebody speaks."""

    start: int
    """First sample, counted at 16 kHz from the start of the recording."""
    end: int
    """One past the last sample."""
    speech_seconds: float
    voice_db: float
    """Level of the voice in dB below full scale, the noise around it taken off."""

    @property
    def seconds(self) -> float:
        """Length."""
        return (self.end - self.start) / RATE


class Tracker(BaseModel):
    """The state machine: takes probabilities and powers of frames, gives finished stretches."""

    model_config = ConfigDict(extra="forbid")

    pauses: Pauses = Pauses()
    frame: int = 0
    """Number of the next frame."""
    first: int | None = None
    """Frame where the open stretch began."""
    last: int = 0
    """Its last frame of speech so far."""
    voiced: int = 0
    """Its frames of speech so far."""
    voice_power: float = 0.0
    """Sum over those frames."""
    run: int = 0
    """Frames of speech in a row that do not count yet."""
    run_power: float = 0.0
    """Sum over those frames."""
    noise_power: float = 1.0
    """Running mean power of frames without speech."""

    def take(self, probabilities: Sequence[float], powers: Sequence[float]) -> list[Stretch]:
        """Take the next frames; return the stretches that ended in them."""
        found = []
        for probability, power in zip(probabilities, powers, strict=True):
            done = self._step(probability, power)
            self.frame += 1
            if done:
                found.append(done)
        return found

    def finish(self, samples: int) -> list[Stretch]:
        """End the recording after `samples`; return the stretch that was still open, if any."""
        done = self._close(limit=samples)
        return [done] if done else []

    def _step(self, probability: float, power: float) -> Stretch | None:
        in_speech = self.first is not None and self.last == self.frame - 1
        if probability >= (_KEEP_ON_MIN if in_speech else SPEECH_MIN):
            self._speech(power, in_speech=in_speech)
        else:
            self.run, self.run_power = 0, 0.0
            self.noise_power += 0.03 * (power - self.noise_power)
        if self.first is None:
            return None
        quiet = (self.frame - self.last) * FRAME_SECONDS
        too_long = (self.frame - self.first) * FRAME_SECONDS > self.pauses.longest
        if quiet >= self.pauses.pause or (too_long and quiet >= self.pauses.breath):
            return self._close()
        return None

    def _speech(self, power: float, *, in_speech: bool) -> None:
        """Count a frame of speech; after a pause, only from the fourth in a row.

        A lone flicker after the last word would otherwise draw the note out.
        """
        self.run += 1
        self.run_power += power
        if not in_speech and self.run < _RUN_MIN:
            return
        if self.first is None:
            self.first, self.voiced, self.voice_power = self.frame + 1 - self.run, 0, 0.0
        self.last = self.frame
        self.voiced += self.run
        self.voice_power += self.run_power
        self.run, self.run_power = 0, 0.0

    def _close(self, *, limit: int | None = None) -> Stretch | None:
        done, self.first = self.draft(limit=limit), None
        return done

    def draft(self, *, limit: int | None = None) -> Stretch | None:
        """Give the stretch that is open as it would be if nothing more were said."""
        if self.first is None or self.voiced * FRAME_SECONDS < self.pauses.speech_min:
            return None
        end = (self.last + 1) * FRAME + round(self.pauses.after * RATE)
        voice = max(self.voice_power / self.voiced - self.noise_power, 1.0)
        return Stretch(
            start=max(0, self.first * FRAME - round(self.pauses.before * RATE)),
            end=end if limit is None else min(end, limit),
            speech_seconds=round(self.voiced * FRAME_SECONDS, 3),
            voice_db=round(float(10 * np.log10(voice / 32768**2)), 1),
        )
