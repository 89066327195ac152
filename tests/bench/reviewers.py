"""Ten reviewers at once on PostgreSQL (or SQLite): no confirmation may be lost or doubled.

    python tests/bench/reviewers.py [--confirmations 10000] [--reviewers 10] [--sqlite]

Every reviewer walks the whole queue in an order of its own; for each entry that waits it reads the
version and confirms with it, so that most entries are tried by several at once. The check at the
end compares entries, history and record.
"""

import argparse
import datetime as dt
import hashlib
import multiprocessing
import random
import sys
import tempfile
import time
from contextlib import ExitStack
from pathlib import Path

from sqlmodel import func, select

from dictate.entry.values import EntryValues
from dictate.errors import ConflictError
from dictate.store.clips import entry_by_id
from dictate.store.database import Database, open_database
from dictate.store.record_tables import Finding
from dictate.store.states import EntryState, NoteState
from dictate.store.tables import Clip, Entry, Event, Note
from dictate.store.visits import visit_for

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1] / "dictate" / "store"))
from postgres_cluster import new_database, running_cluster

from tests.deciding import confirm

_BATCH = 500


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--confirmations", type=int, default=10_000)
    parser.add_argument("--reviewers", type=int, default=10)
    parser.add_argument("--sqlite", action="store_true")
    asked = parser.parse_args()
    with ExitStack() as stack:
        if asked.sqlite:
            url = f"sqlite:///{stack.enter_context(tempfile.TemporaryDirectory())}/record.db"
        else:
            url = new_database(stack.enter_context(running_cluster()), "record")
        with open_database(url) as database:
            ids = _fill(database, asked.confirmations)
            began = time.monotonic()
            conflicts = _review(url, ids, asked.reviewers)
            taken = time.monotonic() - began
            faults = _faults(database, ids)
    print(f"{len(ids)} confirmations by {asked.reviewers} reviewers in {taken:.0f} s "
          f"({len(ids) / taken:.0f} a second); {conflicts} refused as too late; faults: {faults or 'none'}")  # fmt: skip
    sys.exit(1 if faults else 0)


def _fill(database: Database, number: int) -> list[int]:
    values = EntryValues.model_validate(
        {"findings": [{"foot": "LH", "lesion": "sole ulcer", "heard": "sole ulcer"}]}
    ).model_dump(mode="json")
    ids: list[int] = []
    for start in range(0, number, _BATCH):
        with database.writing() as session:
            visit = visit_for(
                session, farm="Alder Farm", trimmer="Robin Field", date=dt.date(2026, 3, 2)
            )
            for n in range(start, min(start + _BATCH, number)):
                clip = Clip(
                    sha256=hashlib.sha256(str(n).encode()).hexdigest(), visit_id=visit.id, suffix=".wav",
                    file_name=f"{n}.wav", seconds=3.0, source_rate=16_000, channels=1,
                )  # fmt: skip
                session.add(clip)
                session.flush()
                note = Note(
                    clip_id=clip.id, visit_id=visit.id, state=NoteState.WAITING, engine="none",
                    model="none", words=[], alternatives=[],
                )  # fmt: skip
                session.add(note)
                session.flush()
                content = values | {"animal": str(1 + n % 500)}
                entry = Entry(note_id=note.id, visit_id=visit.id, position=0, content=content)
                session.add(entry)
                session.flush()
                ids.append(entry.id or 0)
    return ids


def _review(url: str, ids: list[int], reviewers: int) -> int:
    context = multiprocessing.get_context("spawn")
    with context.Pool(reviewers) as pool:
        return sum(pool.starmap(_one, [(url, ids, seed) for seed in range(reviewers)], chunksize=1))


def _one(url: str, ids: list[int], seed: int) -> int:
    """Confirm what is still waiting, in an order of one's own; return how often one came too late."""
    order = ids.copy()
    random.Random(seed).shuffle(order)
    late = 0
    with open_database(url) as database:
        for entry in order:
            with database.reading() as session:
                seen = entry_by_id(session, entry)
            if seen.state != EntryState.WAITING:
                continue
            try:
                with database.writing() as session:
                    confirm(session, entry, by=f"reviewer {seed}", version=seen.version)
            except ConflictError:
                late += 1
    return late


def _faults(database: Database, ids: list[int]) -> list[str]:
    with database.reading() as session:
        states = session.exec(select(Entry.state, func.count()).group_by(Entry.state)).all()
        events = session.exec(select(Event.subject_id).where(Event.kind == "confirmed")).all()
        findings = session.exec(select(Finding.entry_id)).all()
        versions = set(session.exec(select(Entry.version)).all())
    faults = []
    if states != [(EntryState.CONFIRMED, len(ids))]:
        faults.append(f"states {states}")
    if sorted(events) != ids:
        faults.append(f"{len(events)} confirmations in the history")
    if sorted(findings) != ids:
        faults.append(f"{len(findings)} findings in the record")
    if versions != {2}:
        faults.append(f"versions {sorted(versions)}")
    return faults


if __name__ == "__main__":
    main()
