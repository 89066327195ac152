"""How long the record takes to answer, as it grows; prints a Markdown table.

    python tests/bench/herd_queries.py [FINDINGS …] [--farms N]

Each database holds twenty years of invented visits (five findings in a hundred animals' feet with
`no lesion`, every fourth entry with a follow-up). Times are the best and the worst of five runs of
one process with a warm file cache, so they say what the program needs, not what the disk does.
"""

import argparse
import datetime as dt
import json
import random
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from sqlmodel import col, select

from dictate.entry.values import EntryValues
from dictate.sheets.visit_sheet import load_visit_sheet, visit_sheet_html, visit_sheet_pdf
from dictate.store.animal_history import animal_history
from dictate.store.database import Database, open_database
from dictate.store.due_lines import due_lines
from dictate.store.herd import animals_with_cases, herd_picture, open_cases
from dictate.store.record_entry import settle_all_cases
from dictate.store.tables import Farm, Visit

TODAY = dt.date(2026, 3, 2)
YEARS = 20
VISITS_A_YEAR = 5
LESIONS = (
    ("sole ulcer", "outer", 4), ("white line disease", "outer", 3), ("digital dermatitis", None, 10),
    ("heel horn erosion", None, 6), ("no lesion", None, None), ("no lesion", None, None),
    ("no lesion", None, None),
)  # fmt: skip
RUNS = 5


def fill(path: Path, findings: int, farms: int, *, herd: int = 100) -> None:
    """Write `findings` rows with their entries, animals (`herd` a farm or more) and visits in bulk."""
    rng = random.Random(findings)
    open_database(f"sqlite:///{path}").close()
    base = sqlite3.connect(path)
    base.execute("PRAGMA synchronous = OFF")
    visits = farms * YEARS * VISITS_A_YEAR
    each = max(1, findings // visits)
    base.execute("INSERT INTO trimmer VALUES (1, 'Robin Field')")
    base.executemany(
        "INSERT INTO farm VALUES (?, ?)", [(n, f"Farm {n}") for n in range(1, farms + 1)]
    )
    herd = max(each, herd)
    base.executemany(
        "INSERT INTO animal (id, farm_id, number, status, on_roster) VALUES (?, ?, ?, 'present', 1)",
        [(farm * herd + n, farm + 1, str(n)) for farm in range(farms) for n in range(1, herd + 1)],
    )
    entries, rows, due = [], [], []
    at = visit = 0
    while at < findings:
        farm, turn = visit % farms, visit // farms
        visit += 1
        date = (TODAY - dt.timedelta(days=73 * (YEARS * VISITS_A_YEAR - turn))).isoformat()
        base.execute("INSERT INTO visit VALUES (?, ?, 1, ?, ?)", (visit, farm + 1, date, turn % 2))
        for n in rng.sample(range(1, herd + 1), each):
            at += 1
            animal = farm * herd + n
            lesion, claw, zone = rng.choice(LESIONS)
            foot = rng.choice(("LH", "RH", "LF", "RF"))
            course = rng.choice((None, None, None, "healed"))
            finding = {"foot": foot, "claw": claw, "zone": zone, "lesion": lesion, "course": course}
            content = EntryValues.model_construct(animal=str(n), findings=(finding,))
            text = json.dumps(content.model_dump(mode="json", warnings=False))
            entries.append((at, at, visit, text, animal))
            rows.append((at, at, animal, visit, farm + 1, date, foot, claw, zone, lesion, course))
            if at % 4 == 0:
                on = (dt.date.fromisoformat(date) + dt.timedelta(days=14)).isoformat()
                # All but the last year's are done, as they are after twenty years of work.
                is_done = turn < (YEARS - 1) * VISITS_A_YEAR
                due.append((at, animal, visit, farm + 1, date, on, on if is_done else None))
    base.executemany(
        "INSERT INTO entry (id, note_id, visit_id, position, state, version, touched, content, animal_id)"
        " VALUES (?, ?, ?, 0, 'confirmed', 2, 1, ?, ?)", entries,
    )  # fmt: skip
    base.executemany(
        "INSERT INTO finding (id, entry_id, animal_id, visit_id, farm_id, date, position, foot, claw, zone,"
        " lesion, course, heard, tissue) VALUES (?, ?, ?, ?, ?, ?, 0, ?, ?, ?, ?, ?, '', '[]')", rows,
    )  # fmt: skip
    base.executemany(
        "INSERT INTO follow_up (entry_id, animal_id, visit_id, farm_id, date, position, kind, due_on, done_on,"
        " said_when) VALUES (?, ?, ?, ?, ?, 0, 'look again', ?, ?, 'in two weeks')", due,
    )  # fmt: skip
    base.commit()
    base.execute("ANALYZE")
    base.close()


def timed(what: Callable[[], object]) -> tuple[float, float, float]:
    """Best and worst of some runs by the clock, and the processor time of the best, in milliseconds."""
    took, worked = [], []
    for _ in range(RUNS):
        began, began_work = time.perf_counter(), time.process_time()
        what()
        took.append(1000 * (time.perf_counter() - began))
        worked.append(1000 * (time.process_time() - began_work))
    return min(took), max(took), min(worked)


def questions(database: Database) -> dict[str, Callable[[], object]]:
    """The questions by name; each opens a session of its own, as a command does."""

    def ask(question: Callable[..., object]) -> Callable[[], object]:
        def run() -> object:
            with database.reading() as session:
                return question(session, session.get_one(Farm, 1))

        return run

    year = dt.timedelta(days=365)
    return {
        "due list of a farm": ask(lambda s, farm: due_lines(s, farm_id=farm.id, most=300)),
        "history of an animal": ask(lambda s, farm: animal_history(s, "7", farm=farm.name)),
        "herd picture, last year": ask(herd_picture),
        "herd picture, 20 years": ask(lambda s, farm: herd_picture(s, farm, days=None)),
        "open cases of a farm": ask(open_cases),
        "repeated cases, last year": ask(
            lambda s, farm: animals_with_cases(s, farm, since=TODAY - year, until=TODAY)
        ),
    }


def sheets(database: Database) -> dict[str, Callable[[], object]]:
    """The sheet of the newest visit of farm 1."""
    with database.reading() as session:
        visit = session.exec(
            select(Visit).where(Visit.farm_id == 1).order_by(col(Visit.date).desc())
        ).first()
        sheet = load_visit_sheet(session, visit)
    return {
        f"visit sheet, {sheet.seen} animals: page": lambda: visit_sheet_html(sheet),
        f"visit sheet, {sheet.seen} animals: PDF": lambda: visit_sheet_pdf(sheet),
    }


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument(
        "findings", nargs="*", type=int, default=[10_000, 100_000, 200_000, 1_000_000]
    )
    options.add_argument("--farms", type=int, default=100)
    options.add_argument("--sheets", action="store_true", help="time the visit sheet too")
    asked = options.parse_args()
    print(
        "| findings | farms | question | best ms | worst ms | processor ms |\n|---|---|---|---|---|---|"
    )
    for findings in asked.findings:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "record.db"
            fill(path, findings, asked.farms)
            size = path.stat().st_size / 1e6
            with open_database(f"sqlite:///{path}") as database:
                with database.writing() as session:
                    settle_all_cases(session)  # as confirming does, one animal at a time
                todo = questions(database) | (sheets(database) if asked.sheets else {})
                for name, question in todo.items():
                    best, worst, work = timed(question)
                    row = (
                        f"{findings:,}",
                        asked.farms,
                        name,
                        f"{best:.0f}",
                        f"{worst:.0f}",
                        f"{work:.0f}",
                    )
                    print(f"| {' | '.join(map(str, row))} |", flush=True)
            print(f"{findings:,} findings: {size:.0f} MB", file=sys.stderr)


if __name__ == "__main__":
    main()
