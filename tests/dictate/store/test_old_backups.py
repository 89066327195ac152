"""A backup that any earlier version of the tables made is put back, and is the record it was.

`backups/day-of-N.sql` are the backups of one and the same day (`tests/faults/day.py`), each made by
the program as it was when its tables had that number.
"""

import datetime as dt
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from alembic.script import ScriptDirectory
from sqlmodel import func, select

from dictate.settings import Settings
from dictate.store.backup import check_backup
from dictate.store.database import open_database
from dictate.store.integrity import changed_outside
from dictate.store.migrate import HEAD, configuration
from dictate.store.names_kept import NAMED
from dictate.store.record_queries import finding_rows
from dictate.store.restore import put_back
from dictate.store.tables import Entry, Event
from tests.deciding import amend

NOW = dt.datetime(2026, 12, 1, 12, 0, tzinfo=dt.UTC)
DUMPS = sorted((Path(__file__).parent / "backups").glob("day-of-*.sql"))
FOUND = [
    ("412", "sole ulcer", "LH"), ("412", "no lesion", "RH"), ("9", "no lesion", "RF"),
    ("12", "white line disease", "LF"), ("8", "digital dermatitis", "LH"), ("8", "no lesion", "RH"),
]  # fmt: skip


def test_there_is_a_backup_of_each_version() -> None:
    """A change of the tables comes with a backup that was made before it."""
    revisions = ScriptDirectory.from_config(configuration()).walk_revisions()
    assert {one.revision for one in revisions} == {
        path.stem.removeprefix("day-of-") for path in DUMPS
    }


@pytest.mark.parametrize("dump", DUMPS, ids=lambda path: path.stem)
def test_it_is_put_back_whole(dump: Path, tmp_path: Path, settings: Settings) -> None:
    """Checked as a backup, put over the record of today, opened, and gone on with."""
    backup = tmp_path / "record-20260302T180000Z.db"
    with closing(sqlite3.connect(backup)) as old:
        old.executescript(dump.read_text(encoding="utf-8"))
    target = settings.home / "record.db"
    open_database(settings.database_url).close()

    check_backup(backup)
    aside = put_back(backup, target, now=NOW)

    assert aside is not None
    assert aside.exists()
    with open_database(settings.database_url) as database:
        with database.reading() as session:
            assert FOUND == [(row.animal, row.lesion, row.foot) for row in finding_rows(session)]
            told = select(func.count()).select_from(Event).where(Event.kind != NAMED)
            assert 10 == session.exec(told).one()
            assert [] == changed_outside(session)
            entry = session.exec(select(Entry.id).order_by(Entry.id)).first()
        with database.writing() as session:
            amend(session, entry, {"findings.0.zone": 5}, by="Robin Field")
        with database.reading() as session:
            assert [] == changed_outside(session)
            assert 5 == finding_rows(session)[0].zone
    with closing(sqlite3.connect(target)) as plain:
        assert [(HEAD,)] == plain.execute("SELECT version_num FROM alembic_version").fetchall()
        assert [("ok",)] == plain.execute("PRAGMA integrity_check").fetchall()
