"""Listening live: everything is on disk first, and each note is cut as soon as it ends."""

import datetime as dt
import os
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from dictate.errors import SoundError
from dictate.sound.cut_notes import write_note
from dictate.sound.journal import LIVE_PAUSES, Journal, list_of, put_away
from dictate.sound.microphone import Chunk
from dictate.sound.stream import RATE
from dictate.sound.stretches import Stretch, Tracker
from dictate.sound.voice_activity import FRAME, VoiceActivity

_DRAFT_SECONDS = 0.3
"""Quiet after which a note is probably over: understanding it may begin."""
_KEPT_SECONDS = 2
"""Sound held in memory while nobody speaks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LiveNote:
    """One note, safely on disk."""

    path: Path
    stretch: Stretch
    lost: int
    """How many times sound was lost within it."""


class Listener:
    """Writes all sound to a journal, finds notes in it, and writes each as a file.

    The journal is flushed to disk every second: a power loss costs at most that. It goes when
    listening ends well; one that is left over is gone through by `recover`.
    """

    def __init__(
        self,
        folder: Path,
        *,
        whole: Path | None = None,
        now: Callable[[], dt.datetime] = lambda: dt.datetime.now().astimezone(),
    ) -> None:
        """Listen into `folder`; `now` tells the time with its zone.

        The whole sound goes to the folder `whole` in the end; None drops it.
        """
        self._whole = whole
        self.on_draft: Callable[[np.ndarray], None] = lambda _: None
        """Given the samples of a note that is probably over; the note itself may follow."""
        self._drafted = -1
        folder.mkdir(parents=True, exist_ok=True)
        self._folder = folder
        self._began = now()
        self._tracker = Tracker(pauses=LIVE_PAUSES)
        self._activity = VoiceActivity()
        self._held = np.zeros(0, np.int16)
        self._held_from = 0
        self._lost: list[int] = []
        self.lost = 0
        """How many times sound was lost so far."""

    @property
    def talking(self) -> bool:
        """True while a note is open: now is not the time to answer."""
        return self._tracker.first is not None

    def notes(self, chunks: Iterable[Chunk]) -> Iterator[LiveNote]:
        """Take sound as it comes; give each note when the pause after it is long enough."""
        path = self._folder / f"{self._began:%Y%m%d_%H%M%S}.journal.wav"
        with Journal(path) as journal:
            for chunk in chunks:
                if chunk.lost:
                    self.lost += 1
                    self._lost.append(journal.samples)
                journal.write(chunk.samples)
                for stretch in self._hear(chunk.samples):
                    yield self._keep(stretch, path)
            for stretch in self._tracker.finish(journal.samples):
                yield self._keep(stretch, path)
        list_of(path).unlink(missing_ok=True)
        put_away(path, self._whole)

    def _hear(self, samples: np.ndarray) -> list[Stretch]:
        self._held = np.concatenate([self._held, samples])
        heard = self._tracker.frame * FRAME - self._held_from
        ready = (len(self._held) - heard) // FRAME * FRAME
        frames = self._held[heard : heard + ready]
        if not ready:
            return []
        powers = (frames.reshape(-1, FRAME).astype(np.float64) ** 2).mean(axis=1)
        found = self._tracker.take(self._activity.feed(frames).tolist(), powers.tolist())
        if not found and not self.talking:
            self._forget()
        self._draft()
        return found

    def _draft(self) -> None:
        tracker = self._tracker
        quiet = (tracker.frame - tracker.last) * FRAME / RATE
        if quiet < _DRAFT_SECONDS or tracker.last == self._drafted:
            return
        self._drafted = tracker.last
        if (stretch := tracker.draft()) is not None:
            self.on_draft(self._samples(stretch))

    def _samples(self, stretch: Stretch) -> np.ndarray:
        return self._held[stretch.start - self._held_from : stretch.end - self._held_from].copy()

    def _keep(self, stretch: Stretch, journal: Path) -> LiveNote:
        lost = sum(stretch.start <= at < stretch.end for at in self._lost)
        at = self._began + dt.timedelta(seconds=stretch.start / RATE)
        path = self._folder / f"{at:%Y%m%d_%H%M%S}_{stretch.start:09d}.flac"
        tags = {
            "creation_time": at.isoformat(timespec="milliseconds"),
            "cut_from": journal.name,
            "cut_start_sample": str(stretch.start),
            "cut_end_sample": str(stretch.end),
            "times_sound_was_lost": str(lost),
        }
        write_note(path, self._samples(stretch), tags)
        with list_of(journal).open("a", encoding="ascii") as file:
            file.write(f"{stretch.start} {stretch.end} .\n")
            file.flush()
            os.fsync(file.fileno())
        return LiveNote(path=path, stretch=stretch, lost=lost)

    def _forget(self) -> None:
        surplus = len(self._held) - _KEPT_SECONDS * RATE
        if surplus > RATE:
            self._held = self._held[surplus:]
            self._held_from += surplus


@contextmanager
def only_one(lock: Path) -> Iterator[None]:
    """Hold a lock that ends with the process: a second program would take the first one's journal.

    Raises:
        SoundError: another program holds it.
    """
    # SQLite locks a file alike on every system.
    with closing(sqlite3.connect(lock, timeout=0, isolation_level=None)) as held:
        try:
            held.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode != sqlite3.SQLITE_BUSY:
                raise
            raise SoundError(
                "another program is listening", remedy="End the other `dictate listen` first"
            ) from error
        yield
