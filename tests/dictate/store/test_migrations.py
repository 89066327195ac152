"""Each migration keeps the rows that were there."""

from pathlib import Path

import pytest
import sqlalchemy as sa
from alembic import command

from dictate.store.database import open_database
from dictate.store.migrate import configuration
from dictate.store.tables import Note


@pytest.fixture
def first(tmp_path: Path) -> str:
    """A database of the first version with one note in it."""
    url = f"sqlite:///{tmp_path / 'old.db'}"
    engine = sa.create_engine(url)
    with engine.begin() as connection:
        command.upgrade(configuration(connection), "0001")
        for line in (
            "INSERT INTO farm (id, name) VALUES (1, 'Alder Farm')",
            "INSERT INTO trimmer (id, name) VALUES (1, 'Robin Field')",
            "INSERT INTO visit (id, farm_id, trimmer_id, date) VALUES (1, 1, 1, '2026-03-02')",
            (
                "INSERT INTO clip (id, sha256, visit_id, file_name, suffix, seconds, source_rate, channels,"
                " recorded_from, taken_in_at)"
                " VALUES (1, 'ab', 1, 'a.wav', '.wav', 3.0, 16000, 1, '', '2026-03-02 08:00:00')"
            ),
            (
                "INSERT INTO note (id, clip_id, visit_id, state, engine, model, words, alternatives,"
                " has_speech, seconds_taken, heard_at) VALUES (1, 1, 1, 'waiting', 'vosk', 'm',"
                " '[{\"text\": \"cow\"}]', '[]', 1, 0.1, '2026-03-02 08:00:00')"
            ),
        ):
            connection.exec_driver_sql(line)
    engine.dispose()
    return url


def test_notes_of_before_keep_their_words(first: str) -> None:
    """How well they fitted nobody knows, and none of them is taken for a piece of a day's sound."""
    with open_database(first) as database, database.reading() as session:
        note = session.get_one(Note, 1)

        assert [{"text": "cow"}] == note.words
        assert ("waiting", [], False, None) == (note.state, note.fits, note.cut_out, note.again)
