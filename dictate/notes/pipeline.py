"""From clips to the queue: what is unfinished is finished, wherever the last run stopped.

Each stage of each clip is committed by itself, so Ctrl-C, a crash or a power cut loses at most the
clip in hand, and running again goes on from there.
"""

from collections.abc import Callable
from dataclasses import dataclass

from dictate.notes.hearing_clips import ClipHeard, OpenEngine, hear_clips
from dictate.notes.reading_notes import read_notes
from dictate.settings import Settings
from dictate.store.database import Database

__all__ = ["Finished", "finish"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finished:
    """What one run did."""

    heard: tuple[ClipHeard, ...]
    notes_read: int


def finish(
    database: Database,
    settings: Settings,
    open_engine: OpenEngine,
    *,
    before: Callable[[int], None] = lambda _: None,
    after: Callable[[ClipHeard], None] = lambda _: None,
) -> Finished:
    """Hear every clip without a note, then read every note without entries.

    Raises:
        ModelError: the recogniser cannot be opened.
        StoreError: the database cannot be written.
    """
    # Notes that an earlier run heard and did not read must not wait for a recogniser that fails.
    read = read_notes(database, settings)
    heard = hear_clips(database, settings, open_engine, before=before, after=after)
    return Finished(heard=tuple(heard), notes_read=read + read_notes(database, settings))
