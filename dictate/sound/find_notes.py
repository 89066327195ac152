"""Cut a long recording into notes on its pauses, minute by minute, resumable.

The voice-activity model gives every 32 ms a probability of speech; `stretches` makes notes of them. It
starts afresh at each minute on the end of the minute before, so a minute gives the same
result whether the run was interrupted before it or not.
"""

import hashlib
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import numpy as np
from pydantic import BaseModel, ConfigDict, ValidationError

from dictate.sound.stream import RATE, blocks
from dictate.sound.stretches import Pauses, Stretch, Tracker
from dictate.sound.voice_activity import FRAME, WARM_UP, VoiceActivity
from dictate.written import write_whole

MINUTE = 60 * RATE
"""Exactly 1,875 frames of the model."""
_NEAR_DB = 12.0
"""How far below the wearer's own voice another may lie and still be taken for it.

A mouth is 5 to 20 cm from its headset; a person two metres away is some 20 dB quieter in it.
"""


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
