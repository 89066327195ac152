"""The database file: its settings, its migrations, and what it refuses."""

import sqlite3
from pathlib import Path

import pytest
import sqlalchemy as sa
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlmodel import SQLModel
from together import run_together

from dictate.errors import NotFoundError, StoreError
from dictate.store import record_tables, tables  # noqa: F401 (registers the tables)
from dictate.store.database import Database, open_database
from dictate.store.history import history_of
from dictate.store.migrate import HEAD, configuration
from dictate.store.tables import Event, Farm


def test_pragmas(database: Database) -> None:
    """Every connection has WAL, foreign keys, a busy timeout and full synchronisation."""
    with database.reading() as session:
        found = {
            name: session.scalar(sa.text(f"PRAGMA {name}"))
            for name in ("journal_mode", "foreign_keys", "busy_timeout", "synchronous")
        }

    assert {
        "journal_mode": "wal",
        "foreign_keys": 1,
        "busy_timeout": 15_000,
        "synchronous": 2,
    } == found


def test_migrations_make_the_tables_of_the_models(database: Database) -> None:
    """What the migrations build is what the models say."""
    with database.engine.connect() as connection:
        assert [] == compare_metadata(MigrationContext.configure(connection), SQLModel.metadata)


def test_head_is_the_newest_migration() -> None:
    """The constant that saves loading Alembic is right."""
    assert HEAD == ScriptDirectory.from_config(configuration()).get_current_head()


def test_newer_database_is_refused(database: Database) -> None:
    """A database of a newer version is left alone, with a clear message."""
    with database.writing() as session:
        session.execute(sa.text("UPDATE alembic_version SET version_num = '9999'"))

    with pytest.raises(StoreError, match="newer version"):
        open_database(str(database.url))


def test_history_cannot_be_changed(database: Database) -> None:
    """The database itself refuses to change or delete an event."""
    with database.writing() as session:
        session.add(Event(who="a", kind="queued", subject="entry", subject_id=1, act="x"))
    for statement in ("UPDATE event SET who = 'b'", "DELETE FROM event"):
        with pytest.raises(StoreError, match="append-only"), database.writing() as session:
            session.execute(sa.text(statement))

    with database.reading() as session:
        assert ["a"] == [event.who for event in history_of(session, "entry", 1)]


def test_failed_block_writes_nothing(database: Database) -> None:
    """An error inside a writing block leaves no part of it behind."""
    with pytest.raises(ZeroDivisionError), database.writing() as session:
        session.add(Farm(name="Half"))
        session.flush()
        _ = 1 / 0

    with database.reading() as session:
        assert 0 == session.scalar(sa.text("SELECT count(*) FROM farm"))


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda path: path.write_bytes(b"not a database at all, just text" * 40), "not a database"),
        (lambda path: path.mkdir(), "unable to open"),
    ],
)
def test_unusable_file_is_named(tmp_path: Path, make, said: str) -> None:
    """A file that is no database gives one error that names it."""
    path = tmp_path / "record.db"
    make(path)

    with pytest.raises(StoreError, match=said) as caught:
        open_database(f"sqlite:///{path}")

    assert str(path) in caught.value.line


def test_locked_database_is_named(database: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another program's lock ends in a message, not in a traceback."""
    with sqlite3.connect(str(database.url.database), isolation_level=None) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreError, match="locked"), database.reading() as session:
            session.execute(sa.text("PRAGMA busy_timeout = 1"))
            session.execute(sa.text("DELETE FROM farm"))
        other.execute("ROLLBACK")
    other.close()


def test_bad_url() -> None:
    """A URL that is none says where to correct it."""
    with pytest.raises(StoreError, match="settings.toml"):
        open_database("no url")


def _open_and_add(url: str, number: int) -> None:
    with open_database(url) as database, database.writing() as session:
        session.add(Farm(name=f"farm {number}"))


def test_many_programs_open_a_new_file_at_once(tmp_path: Path) -> None:
    """Programs that start together on a new file all find their tables; one makes them."""
    url = f"sqlite:///{tmp_path / 'record.db'}"

    ended = run_together(_open_and_add, [(url, number) for number in range(3)])

    with open_database(url) as database, database.reading() as session:
        assert 3 == session.scalar(sa.text("SELECT count(*) FROM farm"))
    assert [0] * 3 == ended


@pytest.mark.parametrize("number", [2**63, -(2**80)])
def test_a_number_that_no_row_can_have_is_not_there(database: Database, number: int) -> None:
    """Numbers past 64 bits are answered as any that is not there, not with a driver's error."""
    with pytest.raises(NotFoundError), database.reading() as session:
        session.get(Farm, number)


def test_an_older_record_keeps_its_rows_and_gets_its_cases(tmp_path: Path) -> None:
    """From tables 0002: every finding stays, and the cases of its animals are there."""
    url = f"sqlite:///{tmp_path / 'record.db'}"
    engine = sa.create_engine(url)
    with engine.begin() as connection:
        command.upgrade(configuration(connection), "0002")
        for line in (
            "INSERT INTO farm VALUES (1, 'Alder Farm')",
            "INSERT INTO trimmer VALUES (1, 'Robin Field')",
            "INSERT INTO animal (id, farm_id, number, status, on_roster) VALUES (1, 1, '412', 'present', 1)",
            "INSERT INTO animal (id, farm_id, number, status, on_roster, merged_into_id) VALUES (2, 1, '421', 'present', 0, 1)",
            "INSERT INTO visit (id, farm_id, trimmer_id, date) VALUES (1, 1, 1, '2026-03-02'), (2, 1, 1, '2026-04-02')",
        ):
            connection.execute(sa.text(line))
        connection.execute(sa.text("PRAGMA foreign_keys = OFF"))
        for animal, visit, date in ((1, 1, "2026-03-02"), (2, 2, "2026-04-02")):
            connection.execute(
                sa.text(
                    "INSERT INTO finding (entry_id, animal_id, visit_id, farm_id, date, position, foot, lesion, heard,"
                    f" tissue) VALUES ({visit}, {animal}, {visit}, 1, '{date}', 0, 'LH', 'sole ulcer', '', '[]')"
                )
            )
    engine.dispose()

    with open_database(url) as database, database.reading() as session:
        cases = session.execute(
            sa.text("SELECT animal_id, name, visits, closed_on FROM herd_case")
        ).all()
        assert [(1, "sole ulcer", 2, None)] == cases
        assert 2 == session.scalar(sa.text("SELECT count(*) FROM finding"))
