"""The same tables and decisions on PostgreSQL, by another URL alone."""

import datetime as dt
from concurrent.futures import ThreadPoolExecutor

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlmodel import Session, SQLModel

from dictate.errors import ConflictError, StoreError
from dictate.notes.values import EntryValues
from dictate.review.deciding import amend, confirm
from dictate.review.undoing import undo
from dictate.store.database import Database, open_database
from dictate.store.queries import visit_for
from dictate.store.record_queries import finding_rows, measure_rows
from dictate.store.tables import Clip, Entry, Note

ULCER = EntryValues.model_validate(
    {
        "animal": "412",
        "findings": [
            {"foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "tissue": ["pus"]}
        ],
        "measures": [{"what": "dorsal wall", "number": "80.0", "unit": "mm"}],
    }
)


@pytest.fixture
def database(postgresql_url: str):
    with open_database(postgresql_url) as opened:
        yield opened


def _entry(session: Session) -> int:
    visit = visit_for(session, farm="Alder Farm", trimmer="Robin Field", date=dt.date(2026, 3, 2))
    clip = Clip(
        sha256="0" * 64, visit_id=visit.id, file_name="a.wav", suffix=".wav", seconds=1.0,
        source_rate=16_000, channels=1, recorded_at=dt.datetime(2026, 3, 2, 8, tzinfo=dt.UTC),
    )  # fmt: skip
    session.add(clip)
    session.flush()
    note = Note(
        clip_id=clip.id, visit_id=visit.id, state="waiting", engine="fake 1", model="none",
        words=[{"text": "word"}], alternatives=[],
    )  # fmt: skip
    session.add(note)
    session.flush()
    entry = Entry(
        note_id=note.id, visit_id=visit.id, position=0, content=ULCER.model_dump(mode="json")
    )
    session.add(entry)
    session.flush()
    return entry.id


def test_migrations_make_the_tables_of_the_models(database: Database) -> None:
    """What the migrations build on PostgreSQL is what the models say."""
    with database.engine.connect() as connection:
        assert [] == compare_metadata(MigrationContext.configure(connection), SQLModel.metadata)


def test_confirming_and_undoing(database: Database) -> None:
    """Decisions fill and empty the record; decimals and times come back as they were."""
    with database.writing() as session:
        one = _entry(session)
        confirm(session, one, by="Robin")
    with database.reading() as session:
        assert [("412", "sole ulcer", ("pus",))] == [
            (row.animal, row.lesion, row.tissue) for row in finding_rows(session)
        ]
        assert ["80.0"] == [str(row.number) for row in measure_rows(session)]
        assert dt.datetime(2026, 3, 2, 8, tzinfo=dt.UTC) == session.get_one(Clip, 1).recorded_at
    with database.writing() as session:
        undo(session, one, by="Robin")
        assert [] == finding_rows(session)


def test_history_cannot_be_changed(database: Database) -> None:
    """The database itself refuses to change or delete an event."""
    with database.writing() as session:
        confirm(session, _entry(session), by="Robin")
    for statement in ("UPDATE event SET who = 'b'", "DELETE FROM event", "DELETE FROM entry"):
        with pytest.raises(StoreError, match="append-only"), database.writing() as session:
            session.execute(sa.text(statement))


def test_one_of_many_wins(database: Database) -> None:
    """Of eight who change the same version at the same moment, one does and seven are told."""
    with database.writing() as session:
        one = _entry(session)

    def change(zone: int) -> bool:
        try:
            with database.writing() as session:
                amend(session, one, {"findings.0.zone": zone}, by=f"reviewer {zone}", version=1)
        except ConflictError:
            return False
        return True

    with ThreadPoolExecutor(8) as people:
        won = list(people.map(change, range(8)))

    assert 1 == sum(won)
    with database.reading() as session:
        entry = session.get_one(Entry, one)
        assert (2, won.index(True)) == (entry.version, entry.content["findings"][0]["zone"])
