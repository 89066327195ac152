"""Cut the notes found in a long recording into files of their own, each knowing its place."""

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import av
import numpy as np
from pydantic import BaseModel, ConfigDict

from dictate.errors import SoundError
from dictate.sound.clip import LONGEST_SECONDS
from dictate.sound.find_notes import find_notes, near_voice
from dictate.sound.recorded_at import RecordedAt, recorded_at
from dictate.sound.stream import RATE, blocks, describe
from dictate.sound.stretches import Stretch
from dictate.written import hash_file, write_whole

_INDEX = "notes.json"
_STATE = "unfinished.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class CutNotes:
    """The notes of one recording."""

    files: tuple[Path, ...]
    """In the order of the recording."""
    sha256: str
    """Of the recording."""
    fault: str = ""
    """What is wrong with a recording that was cut all the same: it ends early."""


class _Index(BaseModel):
    """`notes.json`: where every stretch of speech lies in the recording."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    recording: str
    sha256: str
    rate: int
    """Of the sample positions."""
    fault: str
    stretches: tuple[Stretch, ...]


def is_long(path: Path, *, longest: float = LONGEST_SECONDS) -> bool:
    """Tell whether a file is a long recording (of more than `longest` seconds), to be cut.

    A file that does not declare its length counts by its size, at a phone's lowest bit rate.

    Raises:
        SoundError: the file cannot be read as sound.
    """
    seconds = describe(path).seconds
    return (path.stat().st_size / 1600 if seconds is None else seconds) > longest


def cut_recording(
    path: Path,
    folder: Path,
    *,
    everybody: bool = False,
    zone: dt.tzinfo | None = None,
    on_minute: Callable[[int], None] | None = None,
) -> CutNotes:
    """Find the notes in a recording and write each as a FLAC file.

    Running it again after any interruption goes on where it stopped and gives the same files,
    byte for byte. `notes.json` beside them lists the position of every stretch of speech, also of
    other people's, which is not cut. A recording that ends early (the battery died) is cut as far
    as it goes.

    Args:
        path: The recording, of any length and format.
        folder: Where to write; a folder is made in it for this recording.
        everybody: Cut the voices of others in the shed too.
        zone: Time zone of the recording's name; None for this computer's.
        on_minute: Called with the number of minutes of the recording done.

    Raises:
        SoundError: the recording is missing or unreadable.
    """
    sha256 = hash_file(path)
    into = folder / f"{path.stem}-{sha256[:12]}"
    into.mkdir(parents=True, exist_ok=True)
    if not (into / _INDEX).exists():
        found, fault = _find(path, into / _STATE, on_minute)
        index = _Index(
            recording=path.name, sha256=sha256, rate=RATE, fault=fault, stretches=tuple(found)
        )
        write_whole(into / _INDEX, index.model_dump_json(indent=1))
    index = _Index.model_validate_json((into / _INDEX).read_bytes())
    chosen = list(index.stretches) if everybody else near_voice(index.stretches)
    moment = recorded_at(path, zone=zone)
    files = tuple(_name(into, moment, stretch) for stretch in chosen)
    if not all(file.exists() for file in files):
        _cut(path, moment, list(zip(chosen, files, strict=True)))
    (into / _STATE).unlink(missing_ok=True)
    return CutNotes(files=files, sha256=sha256, fault=index.fault)


def _find(
    path: Path, state: Path, on_minute: Callable[[int], None] | None
) -> tuple[list[Stretch], str]:
    try:
        return find_notes(path, state=state, on_minute=on_minute), ""
    except SoundError as error:
        found = find_notes(path, state=state, cut_ok=True)
        return found, f"{error.where}: {error.what}; the notes before that were taken"


def _name(folder: Path, moment: RecordedAt, stretch: Stretch) -> Path:
    """Name a note by its moment and its place: `20260302_091500_000123456.flac`."""
    at = moment.moment + dt.timedelta(seconds=stretch.start / RATE)
    return folder / f"{at:%Y%m%d_%H%M%S}_{stretch.start:09d}.flac"


def _cut(path: Path, moment: RecordedAt, wanted: Sequence[tuple[Stretch, Path]]) -> None:
    """Write every stretch in one pass over the recording."""
    left = list(wanted)
    held = np.zeros(0, np.int16)
    start = 0
    for block in blocks(path, cut_ok=True):
        held = np.concatenate([held, block])
        while left and left[0][0].end <= start + len(held):
            stretch, file = left.pop(0)
            samples = held[stretch.start - start : stretch.end - start]
            write_note(file, samples, _tags(path, moment, stretch))
        needed = min(left[0][0].start, start + len(held)) if left else start + len(held)
        if needed > start:
            held, start = held[needed - start :], needed


def _tags(path: Path, moment: RecordedAt, stretch: Stretch) -> dict[str, str]:
    """Where a note comes from; no hash, so that a fuller copy gives the same note again."""
    at = moment.moment + dt.timedelta(seconds=stretch.start / RATE)
    return {
        "creation_time": at.isoformat(timespec="milliseconds"),
        "recorded_from": moment.source,
        "cut_from": path.name,
        "cut_start_sample": str(stretch.start),
        "cut_end_sample": str(stretch.end),
    }


def write_note(file: Path, samples: np.ndarray, tags: dict[str, str]) -> None:
    """Write a FLAC file whole or not at all; the same samples give the same bytes."""
    part = file.with_suffix(".part")
    with av.open(str(part), "w", format="flac", options={"fflags": "+bitexact"}) as out:
        out.metadata.update(tags)
        stream = out.add_stream("flac", rate=RATE, layout="mono")
        frame = av.AudioFrame.from_ndarray(samples.reshape(1, -1), format="s16", layout="mono")
        frame.rate, frame.pts = RATE, 0
        out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    part.replace(file)
