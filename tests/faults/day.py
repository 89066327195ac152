"""A short day at an invented farm in one process, to be killed at any moment and run again.

    python tests/faults/day.py HOME            # runs what is still to do; prints the state as JSON at the end

Every stage is one of the program's own: roster, take-in, recognition, reading, confirming, export, backup.
The recogniser is a table, so that what has to come out is known.
"""

import datetime as dt
import hashlib
import json
import shutil
import sys
from pathlib import Path
from typing import Any

from sqlmodel import func, select

from dictate.exchange.record_files import export_record
from dictate.notes.pipeline import run_batch
from dictate.notes.taking_in import Where
from dictate.review.waiting import waiting
from dictate.settings import Settings
from dictate.store.backup import back_up, backups_in, check_backup
from dictate.store.database import open_database
from dictate.store.record_tables import Finding
from dictate.store.sqlite_copy import sqlite_path
from dictate.store.tables import Clip, Entry, Event, Note, Reading
from dictate.written import hash_file
from tests.deciding import confirm
from tests.fake_engine import CLIPS, FakeEngine

__all__ = ["SAYS", "run_day", "state"]

SAYS = (
    "cow four twelve left hind outer sole ulcer zone four",
    "right hind clean next cow nine right front clean",
    "cow twelve left front white line disease",
    "cow eight left hind digital dermatitis right hind clean",
)
NOW = dt.datetime(2026, 3, 2, 18, 0, tzinfo=dt.UTC)


def run_day(home: Path) -> None:
    """Do the whole day; what an earlier, killed run did is not done again."""
    settings = Settings(home=home, trimmer="Robin Field", farm="Alder Farm")
    engine = FakeEngine(
        {hash_file(path): text for path, text in zip(CLIPS[: len(SAYS)], SAYS, strict=True)}
    )
    with open_database(settings.database_url) as database:
        run_batch(
            database, settings, CLIPS[: len(SAYS)], Where(farm="Alder Farm"), lambda _roster: engine
        )
        with database.reading() as session:
            queue = waiting(session)
        for entry in queue:
            with database.writing() as session:
                confirm(session, entry.id, by="Robin Field", version=entry.version)
            # What a person was told is confirmed must be there after any kill: noted outside the database.
            with (home / "told.txt").open("a") as told:
                told.write(f"{entry.id}\n")
        out = home / "out"
        shutil.rmtree(out, ignore_errors=True)
        with database.reading() as session:
            export_record(session, out)
    back_up(sqlite_path(settings.database_url), home / "backups", keep=2, now=NOW)


def state(home: Path) -> dict[str, Any]:
    """What is in the record now, without times and ids that differ between runs."""
    with (
        open_database(f"sqlite:///{home / 'record.db'}") as database,
        database.reading() as session,
    ):
        told = (home / "told.txt").read_text().split() if (home / "told.txt").exists() else []
        confirmed = session.exec(select(Event.subject_id).where(Event.kind == "confirmed")).all()
        return {
            "rows": {
                table.__tablename__: session.exec(select(func.count()).select_from(table)).one()
                for table in (Clip, Note, Reading, Entry, Event, Finding)
            },
            "contents": [
                hashlib.sha256(json.dumps(content, sort_keys=True).encode()).hexdigest()[:12]
                for content in session.exec(
                    select(Entry.content)
                    .join(Note)
                    .join(Clip)
                    .order_by(Clip.file_name, Entry.position)
                )
            ],
            "told_and_gone": sorted(set(map(int, told)) - set(confirmed)),
            "confirmed_twice": len(confirmed) - len(set(confirmed)),
            "sounds": sorted(
                path.name for path in (home / "sounds").glob("??/*") if path.name[0] != "."
            ),
            "bad_backups": [
                path.name for path in backups_in(home / "backups") if not check_backup(path)
            ],
        }


if __name__ == "__main__":
    run_day(Path(sys.argv[1]))
    print(json.dumps(state(Path(sys.argv[1]))))
