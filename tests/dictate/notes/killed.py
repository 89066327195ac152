"""Taking in as a process of its own does it, which may be killed at one of its commits."""

import os
import signal
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from sqlmodel import Session

from dictate.hearing.engine import Heard
from dictate.notes.pipeline import run_batch
from dictate.notes.taking_in import Where
from dictate.settings import Settings
from dictate.sound import Sound
from dictate.store.database import Database, open_database
from tests.fake_engine import FakeEngine

__all__ = ["Collapses", "take_in", "take_in_hearing_with"]


@dataclass(frozen=True, slots=True)
class Collapses(FakeEngine):
    """An engine that takes its process down over some sounds, as a C++ library does."""

    over: frozenset[tuple[str, int]] = frozenset()
    """SHA-256 of a sound's file, and how many samples of it are too many or too few."""

    def hear(self, sound: Sound) -> Heard:
        """Hear it, unless it is one of those."""
        if (sound.sha256, len(sound.samples)) in self.over:
            os.abort()
        return FakeEngine.hear(self, sound)


def take_in(
    settings: Settings,
    files: Sequence[Path],
    said: Mapping[str, str],
    kill_at: int | None = None,
    after: bool = False,
) -> None:
    """Run a batch; SIGKILL at the writing transaction `kill_at`, before or `after` its commit."""
    if kill_at is not None:
        _kill_at(kill_at, after=after)
    take_in_hearing_with(settings, files, FakeEngine(said))


def take_in_hearing_with(settings: Settings, files: Sequence[Path], engine: FakeEngine) -> None:
    """Run a batch with an engine of one's own."""
    with open_database(settings.database_url) as database:
        run_batch(database, settings, files, Where(farm="Alder Farm"), lambda _roster: engine)


def _kill_at(number: int, *, after: bool) -> None:
    writing = Database.writing
    count = iter(range(1000))

    @contextmanager
    def counted(database: Database) -> Iterator[Session]:
        at = next(count)
        with writing(database) as session:
            yield session
            if at == number and not after:
                os.kill(os.getpid(), signal.SIGKILL)
        if at == number:
            os.kill(os.getpid(), signal.SIGKILL)

    Database.writing = counted
