"""What the tests of `dictate` share: a home folder, a database, and a queue with given entries."""

import datetime as dt
import hashlib
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlmodel import Session, select

from dictate.entry.values import EntryValues
from dictate.settings import Settings
from dictate.store.database import Database, open_database
from dictate.store.history import new_act, tell
from dictate.store.states import NoteState
from dictate.store.tables import Clip, Entry, Note
from dictate.store.visits import visit_for
from dictate.written import hash_file
from tests.fake_engine import CLIPS

Queue = Callable[..., list[int]]


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty home folder, set for this test alone."""
    folder = tmp_path / "home"
    monkeypatch.setenv("DICTATE_HOME", str(folder))
    monkeypatch.delenv("DICTATE_DATABASE", raising=False)
    return folder


@pytest.fixture
def settings(home: Path) -> Settings:
    return Settings(home=home, trimmer="Robin Field", farm="Alder Farm")


@pytest.fixture
def database(settings: Settings) -> Iterator[Database]:
    with open_database(settings.database_url) as opened:
        yield opened


@pytest.fixture
def clip(tmp_path: Path) -> Callable[[str, str], Path]:
    """Copy a demo clip under a name; `says` is what the fake recogniser will hear in it."""
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
def queue(database: Database) -> Queue:
    """Put entries with the given contents into the queue of one visit, one note each."""

    def put(
        *contents: dict[str, Any], date: dt.date = dt.date(2026, 3, 2), heard: str = "word"
    ) -> list[int]:
        with database.writing() as session:
            visit = visit_for(session, farm="Alder Farm", trimmer="Robin Field", date=date)
            return [_put(session, visit.id, content, heard) for content in contents]

    return put


def _put(session: Session, visit_id: int, content: dict[str, Any], heard: str) -> int:
    number = len(session.exec(select(Clip)).all()) + 1
    clip = Clip(
        sha256=hashlib.sha256(str(number).encode()).hexdigest(),
        visit_id=visit_id,
        file_name=f"note {number}.wav",
        suffix=".wav",
        seconds=3.0,
        source_rate=16_000,
        channels=1,
    )
    session.add(clip)
    session.flush()
    note = Note(
        clip_id=clip.id,
        visit_id=visit_id,
        state=NoteState.WAITING,
        engine="fake 1",
        model="none",
        words=[{"text": word} for word in heard.split()],
        alternatives=[],
    )
    session.add(note)
    session.flush()
    values = EntryValues.model_validate(content).model_dump(mode="json")
    entry = Entry(note_id=note.id, visit_id=visit_id, position=0, content=values)
    session.add(entry)
    session.flush()
    tell(session, entry, kind="queued", who="dictate", act=new_act(), before=None)
    return entry.id
