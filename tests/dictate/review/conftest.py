"""A visit that was spoken, for tests of what a person makes of it."""

import datetime as dt
from collections.abc import Callable, Collection

import pytest

from dictate.notes.reading_notes import read_visit
from dictate.settings import Settings
from dictate.store.database import Database
from dictate.store.tables import Animal, Clip, Note
from dictate.store.visits import visit_for

ReadDay = Callable[..., int]


@pytest.fixture
def read_day(database: Database, settings: Settings) -> ReadDay:
    """A visit with one read note for each text; its id."""

    def read(*texts: str, date: dt.date = dt.date(2026, 3, 2), roster: Collection[str] = ()) -> int:
        with database.writing() as session:
            visit = visit_for(session, farm="Alder Farm", trimmer="Robin Field", date=date)
            session.add_all(
                Animal(farm_id=visit.farm_id, number=number, on_roster=True) for number in roster
            )
            for at, text in enumerate(texts):
                clip = Clip(
                    sha256=f"{date}-{at}", visit_id=visit.id, file_name=f"{at}.wav", suffix=".wav",
                    seconds=1, source_rate=16_000, channels=1,
                )  # fmt: skip
                session.add(clip)
                session.flush()
                words = [{"text": word} for word in text.split()]
                session.add(
                    Note(
                        clip_id=clip.id, visit_id=visit.id, engine="f", model="f",
                        words=words, alternatives=[],
                    )
                )  # fmt: skip
            visit_id = visit.id
        read_visit(database, settings, visit_id)
        return visit_id

    return read
