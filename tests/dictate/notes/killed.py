"""Taking in as a process of its own does it, which may be killed at one of its commits."""

import os
import signal
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

from sqlmodel import Session

from dictate.notes.pipeline import run_batch
from dictate.notes.taking_in import Where
from dictate.settings import Settings
from dictate.store.database import Database, open_database
from tests.fake_engine import FakeEngine

__all__ = ["take_in"]


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
    engine = FakeEngine(said)
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
