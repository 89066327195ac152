"""Real clips with a recogniser that is told what they say."""

from collections.abc import Callable
from pathlib import Path

import pytest

from dictate.notes.pipeline import Batch, run_batch
from dictate.notes.taking_in import Where
from dictate.settings import Settings
from dictate.store.database import Database
from tests.fake_engine import FakeEngine

Run = Callable[..., Batch]


@pytest.fixture
def run(database: Database, settings: Settings, clip) -> Run:
    """Take files in and bring them to the queue."""

    def go(*files: Path, farm: str = "Alder Farm") -> Batch:
        engine = FakeEngine(clip.said)
        where = Where(farm=farm) if files else None
        return run_batch(database, settings, files, where, lambda _roster: engine)

    return go
