"""Real clips with a recogniser that is told what they say."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from dictate.notes.pipeline import Batch, run_batch
from dictate.notes.taking_in import Where
from dictate.settings import Settings
from dictate.sound import hash_file
from dictate.store.database import Database
from tests.fake_engine import FakeEngine

CLIPS = sorted((Path(__file__).parents[3] / "demo_audio").glob("*.opus"))
"""Only their sound counts here; the fake recogniser says what they hold."""

Run = Callable[..., Batch]


@pytest.fixture
def clip(tmp_path: Path) -> Callable[[str, str], Path]:
    """Copy a clip under a name; `says` is what the recogniser will hear in it."""
    said: dict[str, str] = {}
    folder = tmp_path / "recorder"
    folder.mkdir()

    def make(name: str, says: str) -> Path:
        path = folder / name
        shutil.copy(CLIPS[len(said)], path)
        said[hash_file(path)] = says
        return path

    make.said = said
    make.folder = folder
    return make


@pytest.fixture
def run(database: Database, settings: Settings, clip) -> Run:
    """Take files in and bring them to the queue."""

    def go(*files: Path, farm: str = "Alder Farm") -> Batch:
        engine = FakeEngine(clip.said)
        where = Where(farm=farm) if files else None
        return run_batch(database, settings, files, where, lambda _roster: engine)

    return go
