"""From files to the queue: what is unfinished is finished, wherever the last run stopped.

Each stage of each clip is committed by itself, so Ctrl-C, a crash or a power cut loses at most the
work on the clip in hand, and running again goes on from there.
"""

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from dictate.errors import SoundError
from dictate.large_work import Silent, Watcher
from dictate.notes.forgetting import forget_by_settings
from dictate.notes.hearing_clips import ClipHeard, OpenEngine, hear_clips
from dictate.notes.reading_notes import BeginReading, read_here, read_notes
from dictate.notes.taking_in import Fate, TakenIn, Where, take_in
from dictate.settings import Settings
from dictate.store.database import Database


@dataclass(frozen=True, slots=True, kw_only=True)
class Hands:
    """Who does the work of the recogniser and the grammar; everything else stays in this process."""

    hear: Callable[..., list[ClipHeard]] = hear_clips
    """`hear_clips`, or one that does the same elsewhere."""
    begin_reading: BeginReading = read_here


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """What one run did."""

    files: tuple[TakenIn, ...]
    heard: tuple[ClipHeard, ...]
    notes_read: int

    def count(self, fate: Fate) -> int:
        return sum(taken.fate == fate for taken in self.files)

    @property
    def faults(self) -> tuple[str, ...]:
        """One message for each file or clip that could not be used."""
        refused = tuple(taken.message for taken in self.files if taken.fate == Fate.REFUSED)
        return refused + tuple(heard.fault for heard in self.heard if heard.fault)

    @property
    def exit_code(self) -> int:
        return SoundError.exit_code if self.faults else 0


_OWN = Hands()


def run_batch(
    database: Database,
    settings: Settings,
    files: Sequence[Path],
    where: Where | None,
    open_engine: OpenEngine,
    *,
    watcher: Watcher | None = None,
    hands: Hands = _OWN,
) -> Batch:
    """Take files in, then hear every clip without a note and read every note without entries.

    Args:
        database: An open database.
        settings: Whose clips, and where sound is kept.
        files: Files to take in; none goes on with what is unfinished.
        where: The visit they belong to; may be None without files.
        open_engine: Gives the recogniser for a farm's roster.
        watcher: Told what happens.
        hands: Who hears and reads.

    Raises:
        ModelError: the recogniser cannot be opened; the files are kept and heard next time.
        StoreError: the database or the sounds folder cannot be written.
    """
    watcher = watcher or Silent()
    taken = take_in(database, settings, files, where, watcher=watcher) if where else []
    # Notes that an earlier run heard must not wait for a recogniser that fails to open.
    earlier = read_notes(database, settings, begin_reading=hands.begin_reading)
    heard = hands.hear(database, settings, open_engine, watcher=watcher)
    read = earlier + read_notes(database, settings, begin_reading=hands.begin_reading)
    forget_by_settings(database, settings, today=dt.date.today())  # noqa: DTZ011 (a visit's own day)
    return Batch(files=tuple(taken), heard=tuple(heard), notes_read=read)
