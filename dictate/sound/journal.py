"""The journal of listening live: all sound on disk as it comes, and the notes that a power loss left in it."""

import datetime as dt
import os
import re
import shutil
import struct
from collections.abc import Iterator
from pathlib import Path
from typing import Self

import numpy as np

from dictate.sound.cut_notes import write_note
from dictate.sound.find_notes import find_notes
from dictate.sound.stream import RATE, describe
from dictate.sound.stretches import Pauses, Stretch
from dictate.sound.voice_activity import FRAME

LIVE_PAUSES = Pauses(pause=0.7)
"""Live, an answer is waited for, so a note ends sooner than in a recording."""


class Journal:
    """A WAV file that can be read whatever happens: its header says "as far as it goes"."""

    HEADER_BYTES = 44

    def __init__(self, path: Path) -> None:
        self._file = path.open("wb")
        sizes = 0xFFFFFFFF
        self._file.write(
            struct.pack("<4sI4s4sIHHIIHH4sI", b"RIFF", sizes, b"WAVE", b"fmt ", 16, 1, 1, RATE,
                        2 * RATE, 2, 16, b"data", sizes)
        )  # fmt: skip
        self.samples = 0
        self._safe = 0

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._file.close()

    def write(self, samples: np.ndarray) -> None:
        self._file.write(samples.astype("<i2").tobytes())
        self.samples += len(samples)
        if self.samples - self._safe >= RATE:
            self._file.flush()
            os.fsync(self._file.fileno())
            self._safe = self.samples


def recover(folder: Path, *, whole: Path | None = None) -> list[Path]:
    """Cut what a power loss left uncut in a folder's journals; these then go to `whole` or away.

    Returns every note file in the folder, in order: those cut now and those cut before that were
    not taken in yet.
    """
    for journal in sorted(folder.glob("*.journal.wav")):
        known = [*_listed(journal), *_still_there(journal)]
        began = dt.datetime.strptime(journal.name[:15], "%Y%m%d_%H%M%S").astimezone()
        heard = _any(journal)
        for stretch in find_notes(journal, pauses=LIVE_PAUSES, cut_ok=True) if heard else []:
            if all(stretch.end <= start or stretch.start >= end for start, end in known):
                _cut_one(journal, began, stretch)
        list_of(journal).unlink(missing_ok=True)
        put_away(journal, whole)
    for torn in folder.glob("*.part"):  # its sound is in the journal
        torn.unlink()
    return sorted(folder.glob("*.flac"))


def put_away(journal: Path, whole: Path | None) -> None:
    if whole is None:
        journal.unlink()
        return
    whole.mkdir(parents=True, exist_ok=True)
    shutil.move(journal, whole / journal.name.replace(".journal", ""))


def list_of(journal: Path) -> Path:
    """The places of the notes that were cut from a journal, one a line; they may be gone since."""
    return journal.with_suffix(".cut")


def _listed(journal: Path) -> Iterator[tuple[int, int]]:
    listed = list_of(journal)
    for line in listed.read_text(encoding="ascii").splitlines() if listed.exists() else []:
        if re.fullmatch(r"\d+ \d+ \.", line):  # a line torn by the power loss has no full stop
            start, end, _ = line.split()
            yield int(start), int(end)


def _still_there(journal: Path) -> Iterator[tuple[int, int]]:
    for path in journal.parent.glob("*.flac"):
        source, start, end = _place(path)
        if source == journal.name:
            yield start, end


def _cut_one(journal: Path, began: dt.datetime, stretch: Stretch) -> None:
    at = began + dt.timedelta(seconds=stretch.start / RATE)
    path = journal.parent / f"{at:%Y%m%d_%H%M%S}_{stretch.start:09d}.flac"
    with journal.open("rb") as file:
        file.seek(Journal.HEADER_BYTES + 2 * stretch.start)
        samples = np.frombuffer(file.read(2 * (stretch.end - stretch.start)), "<i2")
    tags = {
        "creation_time": at.isoformat(timespec="milliseconds"),
        "cut_from": journal.name,
        "cut_start_sample": str(stretch.start),
        "cut_end_sample": str(stretch.end),
    }
    write_note(path, samples, tags)


def _place(path: Path) -> tuple[str, int, int]:
    tags = describe(path).tags
    start, end = (int(tags.get(f"cut_{edge}_sample", 0)) for edge in ("start", "end"))
    return tags.get("cut_from", ""), start, end


def _any(journal: Path) -> bool:
    return journal.stat().st_size > Journal.HEADER_BYTES + 2 * FRAME
