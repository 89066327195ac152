"""Cut a long recording into notes on its pauses, minute by minute, resumable.

The voice-activity model gives every 32 ms a probability of speech; a small state machine turns
them into stretches that begin and end with speech and hold no longer pause than allowed. The
model starts afresh at each minute on the end of the minute before, so a minute gives the same
result whether the run was interrupted before it or not.
"""

import hashlib
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import numpy as np
from pydantic import BaseModel, ConfigDict, ValidationError

from dictate.sound.stream import RATE, blocks
from dictate.sound.voice_activity import (
    FRAME,
    FRAME_SECONDS,
    SPEECH_MIN,
    WARM_UP,
    VoiceActivity,
)
from dictate.written import write_whole

MINUTE = 60 * RATE
"""Exactly 1,875 frames of the model."""

_KEEP_ON_MIN = 0.35
"""A frame right after speech belongs to it above this (hysteresis)."""

_RUN_MIN = 4
"""Frames in a row that make speech begin, or go on after a pause: an eighth of a second."""

_NEAR_DB = 12.0
"""How far below the wearer's own voice another may lie and still be taken for it.

A mouth is 5 to 20 cm from its headset; a person two metres away is some 20 dB quieter in it.
"""


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


class _State(BaseModel):
    """What is kept after each finished minute."""

    model_config = ConfigDict(extra="forbid")

    source: str
    """Which file with which pauses this is about."""
    minutes: int
    tracker: Tracker
    found: list[Stretch]


def find_notes(
    path: Path,
    *,
    pauses: Pauses | None = None,
    state: Path | None = None,
    cut_ok: bool = False,
    on_minute: Callable[[int], None] | None = None,
) -> list[Stretch]:
    """Find every stretch of speech in a recording of any length, in flat memory.

    Args:
        path: The recording.
        pauses: What parts one note from the next.
        state: Where to keep what was found after each minute; a run that was interrupted goes on
            from there. Removed by nobody here: delete it when the notes are safely cut.
        cut_ok: Take what there is of a recording that ends early, instead of raising.
        on_minute: Called with the number of minutes done.

    Raises:
        SoundError: the file is missing, unreadable, or ends early.
    """
    pauses = pauses or Pauses()
    source = _identity(path, pauses)
    done = _load(state, source) or _State(
        source=source, minutes=0, tracker=Tracker(pauses=pauses), found=[]
    )
    activity = VoiceActivity()
    before = np.zeros(0, np.int16)
    samples = 0
    for number, minute in enumerate(_minutes(path, cut_ok=cut_ok)):
        samples += len(minute)
        if number >= done.minutes:
            done.found += done.tracker.take(*_judge(activity, before, minute))
            done.minutes = number + 1
            if state and len(minute) == MINUTE:
                _save(state, done)
            if on_minute:
                on_minute(done.minutes)
        before = minute[-WARM_UP * FRAME :]
    return done.found + done.tracker.finish(samples)


def near_voice(stretches: Sequence[Stretch]) -> list[Stretch]:
    """Keep the stretches in the voice of the person who wears the microphone.

    Theirs is the loudest voice; anyone else in the shed is far quieter. The level of reference is
    the middle of the louder half, so one shout does not hide the rest.
    """
    if not stretches:
        return []
    levels = np.sort([stretch.voice_db for stretch in stretches])
    own = float(np.median(levels[len(levels) // 2 :]))
    return [stretch for stretch in stretches if stretch.voice_db >= own - _NEAR_DB]


def _judge(
    activity: VoiceActivity, before: np.ndarray, minute: np.ndarray
) -> tuple[list[float], list[float]]:
    activity.restart(before)
    probabilities = activity.feed(minute)
    padded = np.zeros(len(probabilities) * FRAME, np.float64)
    padded[: len(minute)] = minute
    powers = (padded.reshape(-1, FRAME) ** 2).mean(axis=1)
    return probabilities.tolist(), powers.tolist()


def _minutes(path: Path, *, cut_ok: bool) -> Iterator[np.ndarray]:
    held: list[np.ndarray] = []
    length = 0
    for block in blocks(path, cut_ok=cut_ok):
        held.append(block)
        length += len(block)
        while length >= MINUTE:
            together = np.concatenate(held)
            yield together[:MINUTE]
            held, length = [together[MINUTE:]], length - MINUTE
    if length:
        yield np.concatenate(held)


def _identity(path: Path, pauses: Pauses) -> str:
    """Name the work without reading hours of sound: size, time, start of the file, pauses."""
    stat = path.stat()
    with path.open("rb") as file:
        start = file.read(65_536)
    said = f"{stat.st_size} {stat.st_mtime_ns} {pauses.model_dump_json()}".encode()
    return hashlib.sha256(start + said).hexdigest()


def _load(path: Path | None, source: str) -> _State | None:
    if path is None:
        return None
    try:
        state = _State.model_validate_json(path.read_bytes())
    except (FileNotFoundError, ValidationError):
        return None
    return state if state.source == source else None


def _save(path: Path, state: _State) -> None:
    """Write the state whole or not at all."""
    write_whole(path, state.model_dump_json())
