"""How long a large roster takes: `python tests/bench/roster_import.py --animals 200000`.

Writes a list of invented animals (test transponders, code 999), takes it in, takes it in again
unchanged, then with every lactation changed, and the same as a workbook if asked.
"""

import argparse
import csv
import datetime as dt
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from dictate.exchange.roster import find_columns, read_rows, read_table_file
from dictate.store.database import open_database
from dictate.store.farms import farm_by_name
from dictate.store.roster import take_in_roster


def main() -> None:
    """Print one line for each step."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--animals", type=int, default=200_000)
    asked.add_argument("--workbook", action="store_true")
    wanted = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        for change, suffix in (
            (0, "csv"),
            (0, "csv"),
            (1, "csv"),
            *(((1, "xlsx"),) if wanted.workbook else ()),
        ):
            path = Path(folder) / f"herd.{suffix}"
            _write(path, wanted.animals, change)
            _timed(
                f"{wanted.animals:,} animals, {suffix}, lactation + {change}",
                lambda path=path: _take_in(path),
            )


def _take_in(path: Path) -> str:
    begun = time.perf_counter()
    table = read_table_file(path)
    read = read_rows(table, find_columns(table), today=dt.date(2026, 3, 2))
    reading = time.perf_counter() - begun
    with (
        open_database(f"sqlite:///{path.parent / 'herd.db'}") as database,
        database.writing() as session,
    ):
        farm = farm_by_name(session, "Alder Farm", make=True)
        change = take_in_roster(session, farm, read.lines, by="bench")
    return f"{change.model_dump()}, {len(read.refused)} refused, of which reading {reading:.1f} s"


def _timed(what: str, do: Callable[[], str]) -> None:
    begun, busy = time.perf_counter(), time.process_time()
    said = do()
    wall, cpu = time.perf_counter() - begun, time.process_time() - busy
    print(f"{what}: {wall:.1f} s, {cpu:.1f} s of a core; {said}", flush=True)


def _write(path: Path, animals: int, change: int) -> None:
    rows = [["Number", "EID", "Ear tag", "Name", "Lactation", "Calving date"]]
    rows += [
        [str(at), f"999{at:012d}", f"XX {at:09d}", f"Cow {at}", str(at % 8 + change), f"{at % 28 + 1:02d}/{at % 12 + 1:02d}/2025"]
        for at in range(1, animals + 1)
    ]  # fmt: skip
    if path.suffix == ".csv":
        with path.open("w", newline="", encoding="utf-8") as file:
            csv.writer(file).writerows(rows)
        return
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    sheet = book.create_sheet("Herd")
    for row in rows:
        sheet.append(row)
    book.save(path)


if __name__ == "__main__":
    main()
