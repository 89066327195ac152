"""A record that an older version filled is taken over whole, and goes on as if it had always been here.

`record-of-0001.sql` was written by the program as it was on 27 November 2026, before acts: notes that
carry their animal, a correction, two animals in one note, decisions, an undone one, typed words, a
lesson learnt and a follow-up ticked off.
"""

import sqlite3
from pathlib import Path
from typing import Any

import pytest
from sqlmodel import select

from dictate.review import acts
from dictate.settings import Settings
from dictate.store.database import open_database
from dictate.store.migrate import HEAD
from dictate.store.names_kept import NAMED
from dictate.store.record_tables import Finding
from dictate.store.tables import Animal, Entry

DUMP = Path(__file__).parent / "record-of-0001.sql"
Rows = dict[str, list[dict[str, Any]]]


@pytest.fixture
def old(tmp_path: Path) -> Settings:
    with sqlite3.connect(tmp_path / "record.db") as connection:
        connection.executescript(DUMP.read_text(encoding="utf-8"))
    connection.close()
    return Settings(
        home=tmp_path, trimmer="Robin Field", database=f"sqlite:///{tmp_path / 'record.db'}"
    )


def rows(settings: Settings) -> Rows:
    path = settings.database_url.removeprefix("sqlite:///")
    with sqlite3.connect(path) as connection:
        connection.row_factory = sqlite3.Row
        names = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
        found = {
            name: [dict(row) for row in connection.execute(f'SELECT * FROM "{name}"')]
            for (name,) in names
        }
    connection.close()
    return found


def test_every_row_and_value_of_before_is_there(old: Settings) -> None:
    before = rows(old)
    open_database(old.database_url).close()
    after = rows(old)

    assert before.pop("alembic_version") != after.pop("alembic_version") == [{"version_num": HEAD}]
    assert sum(map(len, before.values())) > 60
    named = [row for row in after["event"] if row["kind"] == NAMED]
    after["event"] = [row for row in after["event"] if row not in named]
    assert [row["id"] for row in after["farm"]] == [row["subject_id"] for row in named]
    for table, there in before.items():
        kept = [
            {name: row[name] for name in one} for one, row in zip(there, after[table], strict=True)
        ]
        assert there == kept, table


def test_acts_go_on_with_it(old: Settings) -> None:
    """Entries that carried their animal follow, also one that was changed before it was known how."""
    with open_database(old.database_url) as database:
        done = acts.amend(database, old, 1, {"animal": "778"}, by="Robin Field", sure=True)
        with database.reading() as session:
            animals = [session.get_one(Entry, at).content["animal"] for at in (1, 2, 3)]
            (row,) = session.exec(select(Finding)).all()
            assert session.get_one(Animal, row.animal_id).number == "778"
        assert animals == ["778"] * 3
        assert {one.now.id for one in done.also} == {2, 3}
        acts.undo(database, old, 1, by="Robin Field")
        acts.undo(database, old, 4, by="Robin Field")
        acts.undo_last(database, old, by="Robin Field")
        with database.reading() as session:
            found = [session.get_one(Entry, at) for at in (1, 2, 3, 4, 8)]
            assert ["412", "412", "412", "415", None] == [one.content["animal"] for one in found]
            assert ["waiting"] * 5 == [one.state for one in found[1:]] + ["waiting"]
