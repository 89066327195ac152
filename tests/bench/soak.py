"""Simulated seasons of one trimmer, one after the other in one process: does anything grow or slow down?

    python tests/bench/soak.py [--animals 80000] [--seasons 8] [--farms 40] [--audio 24] [--seed 1]

Each visit trims 100 animals of one farm. Its notes are sampled from the grammar, as words (what the
recogniser would have heard), with some words wrong; they are read, queued, reviewed (some fixed, the
rest confirmed) and recorded one by one, as the program does it, with every commit on the disk. The
visit's sheet is made. Each season `--audio` clips of real sound go through decoding, the bundled
recogniser, reading and review as well, and the herd picture, follow-ups, an animal's history and a
backup are made. A line a season: milliseconds in each stage, memory, sizes; reading and review also by
the clock (wall). Times are of this process on a core: on a computer with other work to do, the clock
tells how long it waited for that work, not whether dictate slows down. Ends with code 1 when memory
grew by more than a quarter, or reading or review took half as long again, from the second season on.
"""

import argparse
import datetime as dt
import os
import random
import resource
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import numpy as np
import soundfile
from sqlmodel import Session, func, select

from dictate.errors import DictateError
from dictate.hearing import open_engine
from dictate.notes.pipeline import run_batch
from dictate.notes.reading_notes import read_visit
from dictate.notes.taking_in import Where
from dictate.review.waiting import WaitingEntry, waiting
from dictate.settings import Settings
from dictate.sheets.visit_sheet import load_visit_sheet, visit_sheet_html
from dictate.sound import read_sound
from dictate.store.animal_history import animal_history
from dictate.store.backup import back_up
from dictate.store.database import Database, open_database
from dictate.store.due_lines import due_lines
from dictate.store.herd import herd_picture
from dictate.store.record_tables import Finding
from dictate.store.tables import Animal, Clip, Entry, Farm, Note, Visit
from dictate.store.visits import visit_for
from grammar import Roster, sample_note

sys.path.insert(0, str(Path(__file__).parents[2]))
from tests.deciding import amend, confirm, reject

VISIT = 100
FIXED = 0.1
"""Share of entries to which the reviewer adds a remark before confirming."""
WRONG = 0.02
"""Share of words that were heard as something unknown."""
AUDIO = Path(__file__).parents[2] / "demo_audio"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--animals", type=int, default=80_000)
    parser.add_argument("--seasons", type=int, default=8)
    parser.add_argument("--farms", type=int, default=40)
    parser.add_argument("--audio", type=int, default=24, help="Clips of real sound a season.")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    print("| season | notes | findings | queue ms | read ms | read wall | review ms | review wall | sheet ms | audio s a clip | picture ms | due ms | history ms | backup s | memory MB | database MB |")  # fmt: skip
    print("|---" * 16 + "|")
    with tempfile.TemporaryDirectory() as folder:
        os.environ["DICTATE_HOME"] = folder
        settings = Settings(home=Path(folder), trimmer="Robin Field")
        with open_database(settings.database_url) as database:
            rows = [_season(database, settings, season, asked) for season in range(asked.seasons)]
    faults = [
        f"{name} went from {rows[1][name]:.1f} to {rows[-1][name]:.1f}"
        for name, limit in (("memory", 1.25), ("read", 1.5), ("review", 1.5))
        if len(rows) > 2 and rows[-1][name] > limit * rows[1][name]
    ]
    print(*(faults or ["memory and times a note are flat"]), sep="\n")
    sys.exit(bool(faults))


def _season(
    database: Database, settings: Settings, season: int, asked: argparse.Namespace
) -> dict[str, float]:
    rng = random.Random(f"{asked.seed}-{season}")
    spent: dict[str, float] = {}
    visits = max(1, asked.animals // asked.seasons // VISIT)
    for n in range(visits):
        farm = n % asked.farms
        date = dt.date(2026 + season, 1, 5) + dt.timedelta(days=n * 350 // visits)
        _visit(database, settings, rng, (f"Farm {farm}", date, n), spent)
    clips = _real_sound(database, settings, asked.audio, season, spent)
    _reports(database, settings, rng, spent)
    notes = visits * VISIT
    row = {
        "queue": 1000 * spent["queue"] / notes,
        "read": 1000 * spent["read"] / notes,
        "read wall": 1000 * spent["read wall"] / notes,
        "review": 1000 * spent["review"] / notes,
        "review wall": 1000 * spent["review wall"] / notes,
        "sheet": 1000 * spent["sheet"] / visits,
        "audio": spent["audio"] / max(1, clips),
        "picture": 1000 * spent["picture"],
        "due": 1000 * spent["due"],
        "history": 1000 * spent["history"],
        "backup": spent["backup"],
        "memory": _memory(),
        "database": (settings.home / "record.db").stat().st_size / 1e6,
    }
    with database.reading() as session:
        counts = [
            session.exec(select(func.count()).select_from(table)).one() for table in (Note, Finding)
        ]
    shown = [f"{counts[0]:,}", f"{counts[1]:,}", *(f"{row[name]:.1f}" for name in row)]
    print(f"| {season + 1} | {' | '.join(shown)} |", flush=True)
    return row


def _visit(
    database: Database,
    settings: Settings,
    rng: random.Random,
    place: tuple[str, dt.date, int],
    spent: dict[str, float],
) -> None:
    farm, date, number = place
    with _timed(spent, "queue"), database.writing() as session:
        visit = visit_for(session, farm=farm, trimmer=settings.trimmer, date=date)
        visit_id = visit.id or 0
        roster = Roster(numbers=tuple(str(100 + n) for n in range(250)))
        for n in range(VISIT):
            _heard(
                session,
                visit_id,
                f"{date} {number} {n:03}",
                sample_note(rng, roster=roster).words,
                rng,
            )
    with _timed(spent, "read"):
        read_visit(database, settings, visit_id)
    with _timed(spent, "review"):
        _review(database, visit_id, rng)
    with _timed(spent, "sheet"), database.reading() as session:
        visit_sheet_html(load_visit_sheet(session, session.get_one(Visit, visit_id)))


def _heard(
    session: Session, visit_id: int, name: str, words: tuple[str, ...], rng: random.Random
) -> None:
    """What taking in and hearing leave behind, without the sound."""
    clip = Clip(
        sha256=f"{rng.getrandbits(256):064x}", visit_id=visit_id, file_name=f"{name}.opus",
        suffix=".opus", seconds=6.0, source_rate=16_000, channels=1,
    )  # fmt: skip
    session.add(clip)
    session.flush()
    said = ["[unk]" if rng.random() < WRONG else word for word in words]
    plain = [
        {"text": word, "start": n * 0.4, "end": n * 0.4 + 0.35, "confidence": 0.9}
        for n, word in enumerate(said)
    ]
    other = [*plain[:-1], plain[-1] | {"text": "clean"}]
    session.add(
        Note(
            clip_id=clip.id or 0,
            visit_id=visit_id,
            engine="words",
            model="none",
            words=plain,
            alternatives=[other],
        )
    )


def _review(database: Database, visit_id: int, rng: random.Random) -> None:
    with database.reading() as session:
        queue = waiting(session, visit_id)
    for entry in queue:
        try:
            _decide(database, entry, rng)
        except DictateError as error:
            with database.writing() as session:
                reject(session, entry.id, error.what, by="Robin Field")


def _decide(database: Database, entry: WaitingEntry, rng: random.Random) -> None:
    version = entry.version
    if rng.random() < FIXED:
        with database.writing() as session:
            amend(
                session,
                entry.id,
                {"remark": "seen again in the evening"},
                by="Robin Field",
                version=version,
            )
            version = session.get_one(Entry, entry.id).version
    with database.writing() as session:
        confirm(session, entry.id, by="Robin Field", version=version)


def _real_sound(
    database: Database, settings: Settings, number: int, season: int, spent: dict[str, float]
) -> int:
    """Clips of the demo day, each made another file by a silence of its own, through everything."""
    sources = sorted(AUDIO.glob("*.opus"))
    paths = []
    for n in range(number):
        path = settings.home / f"season{season}-{n:03}.flac"
        sound = read_sound(sources[n % len(sources)]).samples
        soundfile.write(path, np.append(sound, np.zeros(160 + 100 * season + n, np.int16)), 16_000)
        paths.append(path)
    where = Where(farm="Sound Farm", date=dt.date(2026 + season, 12, 30))
    with _timed(spent, "audio"):
        batch = run_batch(
            database, settings, paths, where, lambda roster: open_engine(roster=roster)
        )
    assert len(batch.heard) == number
    with database.reading() as session:
        visit = session.exec(select(Visit).order_by(Visit.id.desc())).first()
    if number and visit:
        _review(database, visit.id or 0, random.Random(season))
    for path in paths:
        path.unlink()
    return number


def _reports(
    database: Database, settings: Settings, rng: random.Random, spent: dict[str, float]
) -> None:
    with database.reading() as session:
        farm = session.exec(select(Farm).where(Farm.name == "Farm 0")).one()
        animals = session.exec(select(Animal.number).where(Animal.farm_id == farm.id)).all()
        with _timed(spent, "picture"):
            herd_picture(session, farm, days=None)
        with _timed(spent, "due"):
            due_lines(session, farm_id=farm.id, most=300)
        with _timed(spent, "history"):
            animal_history(session, rng.choice(animals), farm="Farm 0")
    with _timed(spent, "backup"):
        back_up(
            settings.home / "record.db",
            settings.home / "backups",
            keep=1,
            now=dt.datetime.now(dt.UTC),
        )


def _memory() -> float:
    """Resident megabytes now, where the system tells; else the most there was."""
    status = Path("/proc/self/statm")
    if status.exists():
        return int(status.read_text().split()[1]) * resource.getpagesize() / 1e6
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3


@contextmanager
def _timed(spent: dict[str, float], name: str) -> Iterator[Any]:
    """Add what the body takes of a core to `name`, and what it takes by the clock to `name wall`."""
    core, clock = time.process_time(), time.perf_counter()
    yield
    spent[name] = spent.get(name, 0.0) + time.process_time() - core
    wall = f"{name} wall"
    spent[wall] = spent.get(wall, 0.0) + time.perf_counter() - clock


if __name__ == "__main__":
    main()
