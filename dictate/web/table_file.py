"""An uploaded table of animals: its headings, and which column is probably what; pure."""

import csv
import io
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from rapidfuzz import fuzz, process

from dictate.errors import RosterError
from dictate.store.roster import RosterLine, read_roster

__all__ = ["FIELDS", "TableFile", "lines_of", "read_table"]

FIELDS = {
    "number": "management number",
    "eid": "electronic number, 15 digits",
    "ear_tag": "ear tag",
    "name": "name",
    "lactation": "lactation",
    "calved_on": "calved on",
    "dried_off_on": "dried off on",
    "status": "status",
}
"""Slots of an animal and what they are called on the page."""
_ALSO = {
    "number": "number cow animal management visual id herd no cow number animal id line number",
    "eid": "eid rfid electronic id electronic number transponder",
    "ear_tag": "ear tag national number official id passport",
    "name": "name",
    "lactation": "lactation parity lact no calvings",
    "calved_on": "calved on calving date last calving fresh date",
    "dried_off_on": "dried off dry off date dry date",
    "status": "status state",
}
_ALIKE_MIN = 80.0
"""RapidFuzz token-set similarity, 0 to 100, from which a heading is guessed; a person sees the guess."""
_MOST_COLUMNS = 60
_MOST_LINES = 20_000


@dataclass(frozen=True, slots=True, kw_only=True)
class TableFile:
    """A table as text, its first line taken as headings."""

    text: str
    headings: list[str]
    rows: list[list[str]]

    @property
    def guess(self) -> dict[int, str]:
        """Column to slot, each slot once."""
        found: dict[int, str] = {}
        for column, heading in enumerate(self.headings):
            said = heading.lower().replace("_", " ").strip()
            best = process.extractOne(
                said, _ALSO, scorer=fuzz.token_set_ratio, score_cutoff=_ALIKE_MIN
            )
            if said and best and best[2] not in found.values():
                found[column] = best[2]
        return found


def read_table(data: bytes) -> TableFile:
    """Read the bytes of a CSV file with a heading line.

    Raises:
        RosterError: it is no such file, or too large to be a roster.

    """
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
    if "\0" in text:
        raise RosterError(
            "this is not a CSV file", remedy="Save the list as CSV and choose that file"
        )
    delimiter = max(",;\t", key=text.partition("\n")[0].count)
    try:
        rows = [
            row
            for row in csv.reader(io.StringIO(text), delimiter=delimiter)
            if any(map(str.strip, row))
        ]
    except csv.Error as error:
        raise RosterError(
            f"this is not a CSV file: {error}", remedy="Save the list as CSV"
        ) from error
    if not rows:
        raise RosterError("the file has no lines", remedy="Give one animal a line")
    if len(rows) > _MOST_LINES or len(rows[0]) > _MOST_COLUMNS:
        raise RosterError(
            f"the file has {len(rows)} lines and {len(rows[0])} columns",
            remedy=f"A roster has at most {_MOST_LINES} lines and {_MOST_COLUMNS} columns",
        )
    if _is_number(rows[0][0]) and len(rows[0]) == 1:
        rows.insert(0, ["number"])
    return TableFile(text=text, headings=[cell.strip() for cell in rows[0]], rows=rows[1:])


def lines_of(table: TableFile, columns: Mapping[int, str]) -> list[RosterLine]:
    """The animals, with the columns as a person matched them.

    Raises:
        RosterError: no column is the number, or lines are wrong; all faults are named.

    """
    if "number" not in columns.values():
        raise RosterError("no column was matched to the management number", remedy="Choose it")
    if len(set(columns.values())) < len(columns):
        raise RosterError("two columns were matched to the same thing", remedy="Choose one of them")
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(list(columns.values()))
    for row in table.rows:
        writer.writerow([row[column] if column < len(row) else "" for column in columns])
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "roster.csv"
        path.write_text(out.getvalue(), encoding="utf-8", newline="")
        return read_roster(path)


def _is_number(cell: str) -> bool:
    return cell.strip().isdecimal()
