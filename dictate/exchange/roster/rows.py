"""Each row an animal, or refused with the reason in plain words; nothing falls between."""

import datetime as dt
import re
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from dictate.errors import RosterError
from dictate.exchange.roster import values
from dictate.exchange.roster.cells import Row, Table
from dictate.exchange.roster.columns import FIELDS, Columns, find_columns
from dictate.exchange.roster.dates import (
    DateOrder,
    Unfit,
    order_of_column,
    order_unsaid,
    read_date,
    swapped_by_spreadsheet,
)
from dictate.exchange.roster.table import read_table_file
from dictate.exchange.roster.words import is_no_animal, is_sum
from dictate.large_work import without_collecting
from dictate.store.roster import RosterLine, tag_key
from dictate.store.states import AnimalStatus

if TYPE_CHECKING:
    from grammar import Roster

_DATES = ("calved_on", "dried_off_on")
_READERS: Mapping[str, Callable[[str], Any]] = {
    "number": values.number,
    "eid": values.eid,
    "ear_tag": values.ear_tag,
    "name": values.name,
    "lactation": values.lactation,
    "status": values.status,
}
_REMARK = re.compile(r"\s*(?:#+\s*[^\W\d_]|#.*\s[^\W\d_]{2,}|//|\*\*|[-=_]{3,})")
"""A line that a script or a person put between the animals."""
_SUMS_END = 4
"""Rows at the end of a list among which sums stand."""
_WITH_POINT = re.compile(r"\d+[.,]0")
NAMING = frozenset({"number", "eid", "ear_tag", "status"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """A row that was not taken in."""

    row: Row
    why: tuple[str, ...]
    animal: bool = True
    """False for a row that plainly is none: a title, a sum, the headings once more."""

    @property
    def said(self) -> str:
        return f"line {self.row.line}: {'; '.join(self.why)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class RosterRead:
    """What a file holds."""

    lines: tuple[RosterLine, ...]
    rows: tuple[Row, ...]
    """Where each of `lines` stands."""
    refused: tuple[Refused, ...]
    columns: Columns
    dates: DateOrder | None
    """The order of the file's dates, where it matters."""
    how: str

    @property
    def told(self) -> list[str]:
        """How the file was read, one line for each thing that somebody may want to know."""
        return self.columns.told(self.how, FIELDS, self.dates)

    @property
    def animals_refused(self) -> bool:
        """Whether a row that may be an animal was refused."""
        return any(one.animal for one in self.refused)


def read_roster(
    path: Path, *, only: Collection[str] = tuple(FIELDS), today: dt.date | None = None
) -> RosterRead:
    """Read a roster file whose headings are known; `NAMING` are the fields that hearing needs.

    Raises:
        RosterError: it cannot be read, a person has to say which column is what, or no row is an animal.
    """
    table = read_table_file(path)
    try:
        columns = find_columns(table)
        wanted = {at: name for at, name in columns.fields.items() if name in only}
        columns = replace(
            columns,
            fields=wanted,
            problems=tuple(said for said in columns.problems if said.partition(":")[0] in only),
        )
        read = read_rows(table, columns, today=today or dt.date.today())  # noqa: DTZ011 (the farm's day)
        if not read.lines:
            faults = "; ".join(one.said for one in read.refused[:5])
            raise RosterError("no line is an animal" + (f": {faults}" if faults else ""))
    except RosterError as error:
        raise RosterError(
            error.what,
            where=str(path),
            remedy=error.remedy or "See it with: dictate roster import FILE --preview",
        ) from error
    return read


def roster_from(lines: Iterable[RosterLine]) -> "Roster":
    """The roster as the grammar takes it."""
    from grammar import Roster  # noqa: PLC0415 (slow to load)

    present = [line for line in lines if line.status in (None, AnimalStatus.PRESENT)]
    return Roster(
        numbers=tuple(line.number for line in present),
        eids={line.eid: line.number for line in present if line.eid},
        tags={line.ear_tag: line.number for line in present if line.ear_tag},
    )


@without_collecting()
def read_rows(
    table: Table, columns: Columns, *, dates: DateOrder | None = None, today: dt.date
) -> RosterRead:
    """Read the rows below the headings.

    Args:
        table: The file.
        columns: What its columns are.
        dates: The order of day and month, when a person said it.
        today: No cow calved after it.

    Raises:
        RosterError: a person has to say first which column is what, or which order the dates have.
    """
    columns.must_be_known("number")
    body = table.rows[columns.start :]
    orders, unsure = _orders(columns, body, dates)
    with_point = "number" if _all_with_point(columns, body) else ""
    heads = _folded(columns.headings)
    lines: list[RosterLine] = []
    rows = []
    refused = rows_above(table, columns)
    for at, row in enumerate(body):
        if fault := _not_a_row(row, columns, heads):
            refused.append(fault)
            continue
        if (at >= len(body) - _SUMS_END or _counts(row, columns, len(lines))) and _is_summed(row):
            refused.append(Refused(row=row, why=("is a sum or a mean",), animal=False))
            continue
        cells, why = _read(row, columns, orders, unsure, with_point=with_point, today=today)
        if why:
            refused.append(Refused(row=row, why=tuple(why), animal=_may_be_animal(row, columns)))
        else:
            # Each cell was checked above: building it again from checked values costs more.
            lines.append(RosterLine.model_construct(**cells))
            rows.append(row)
    keep, doubled = _doubled(lines, rows)
    return RosterRead(
        lines=tuple(lines[at] for at in keep),
        rows=tuple(rows[at] for at in keep),
        refused=tuple(sorted(refused + doubled, key=lambda one: one.row.line)),
        columns=columns,
        dates=next((order for order in orders.values() if order), None),
        how=table.how,
    )


def _is_summed(row: Row) -> bool:
    return any(is_sum(text) for text in row.texts if text)


def _counts(row: Row, columns: Columns, animals: int) -> bool:
    """Whether its number is how many animals stand above it."""
    at = columns.column("number")
    return at is not None and at < len(row.cells) and row.texts[at].strip() == str(animals)


def rows_above(table: Table, columns: Columns) -> list[Refused]:
    """Titles and the like."""
    return [
        Refused(row=row, why=("stands above the headings",), animal=False)
        for row in table.rows[: columns.above]
    ]


def not_a_row(row: Row, columns: Columns) -> Refused | None:
    """What can be said of a row before its cells are read."""
    return _not_a_row(row, columns, _folded(columns.headings))


def _not_a_row(row: Row, columns: Columns, heads: tuple[str, ...]) -> Refused | None:
    if row.fault:
        return Refused(row=row, why=(row.fault,))
    cells = row.texts
    if heads and cells[0].strip().casefold() == heads[0] and _folded(cells[: len(heads)]) == heads:
        return Refused(row=row, why=("is the heading line again",), animal=False)
    filled = [cell for cell in cells if cell.strip()]
    if len(filled) == 1 and _REMARK.match(filled[0]):
        return Refused(row=row, why=("is a remark",), animal=False)
    if heads and len(cells) > len(heads) and any(cell.strip() for cell in cells[len(heads) :]):
        return Refused(
            row=row,
            why=(f"has {len(row.cells)} cells under {len(heads)} headings",),
        )
    return None


def _folded(cells: Iterable[str]) -> tuple[str, ...]:
    return tuple(cell.strip().casefold() for cell in cells)


def _may_be_animal(row: Row, columns: Columns) -> bool:
    """Whether a refused row holds something that names an animal."""
    texts = row.texts
    named = [
        texts[at].strip()
        for at, name in columns.fields.items()
        if name in ("number", "eid", "ear_tag") and at < len(texts)
    ]
    return any(named) and not any(is_no_animal(text) for text in texts if text)


def _read(
    row: Row,
    columns: Columns,
    orders: Mapping[str, DateOrder | None],
    unsure: Mapping[str, str],
    *,
    with_point: str,
    today: dt.date,
) -> tuple[dict[str, Any], list[str]]:
    """The values of one row, and what is wrong with it."""
    cells: dict[str, Any] = {}
    why: list[str] = []
    for at, field in columns.fields.items():
        try:
            cell = columns.cell(row, at)
            if field in _DATES:
                if isinstance(cell, str) and not (cell := values.bare(cell)):
                    continue
                if isinstance(cell, dt.date) and field in unsure:
                    raise Unfit(unsure[field])
                cells[field] = read_date(cell, orders[field], today)
                continue
            if not isinstance(cell, str):
                raise Unfit(f"{cell} is a date")
            if field == "name":  # it may be written over two lines
                cell = " ".join(cell.split("\n"))
            if not (text := values.bare(cell)):
                continue
            cells[field] = _READERS[field](_whole(text) if with_point == field else text)
        except Unfit as fault:
            why.append(f"{FIELDS[field].partition(',')[0]} {fault}")
    if not why and "number" not in cells:
        why.append("has no management number")
    return cells, why


def _whole(text: str) -> str:
    return text.replace(",", ".").partition(".")[0]


def _orders(
    columns: Columns, body: Sequence[Row], said: DateOrder | None
) -> tuple[dict[str, DateOrder | None], dict[str, str]]:
    """The order of day and month for each column of dates, and why its real dates are doubtful.

    One file is written by one program: what one column decides holds for the other.
    """
    found: dict[str, DateOrder | None] = {}
    doubtful: dict[str, str] = {}
    unsure: dict[str, str] = {}
    for name in _DATES:
        if (at := columns.column(name)) is None:
            continue
        cells = [row.cells[at] for row in body if at < len(row.cells)]
        found[name], doubt = order_of_column(cells, columns.heading(at), said)
        if doubt:
            doubtful[name] = doubt
        if said is None and swapped_by_spreadsheet(cells):
            unsure[name] = (
                "may have day and month exchanged: the spreadsheet read part of this column as"
                " dates and left the rest as text"
            )
    decided = {order for order in found.values() if order}
    if len(decided) == 1:
        found |= dict.fromkeys(doubtful, decided.pop())
    elif doubtful:
        raise order_unsaid(next(iter(doubtful.values())))
    return found, unsure


def _all_with_point(columns: Columns, body: Sequence[Row]) -> bool:
    """Whether every number ends in `.0`, as a spreadsheet or a program wrote them."""
    at = columns.column("number") or 0
    cells = [str(row.cells[at]).strip() for row in body if at < len(row.cells)]
    filled = [cell for cell in cells if cell]
    return len(filled) > 1 and all(_WITH_POINT.fullmatch(cell) for cell in filled)


def _doubled(lines: Sequence[RosterLine], rows: Sequence[Row]) -> tuple[list[int], list[Refused]]:
    """Rows to keep; of rows that name one animal twice, none is kept unless they say the same."""
    why: dict[int, list[str]] = {}
    same: dict[int, int] = {}
    for field in ("number", "eid", "ear_tag"):
        places: dict[str, list[int]] = {}
        for at, line in enumerate(lines):
            if (value := getattr(line, field)) and (
                field != "number" or line.status in (None, AnimalStatus.PRESENT)
            ):
                key = tag_key(value) if field == "ear_tag" else value.casefold()
                places.setdefault(key, []).append(at)
        for value, found in places.items():
            if len(found) == 1:
                continue
            first = found[0]
            if all(lines[at] == lines[first] for at in found[1:]):
                same.update((at, first) for at in found[1:])
                continue
            there = ", ".join(str(rows[at].line) for at in found[:10])
            said = getattr(lines[first], field) or value
            for at in found:
                why.setdefault(at, []).append(
                    f"{FIELDS[field].partition(',')[0]} {said} stands on several lines: {there}"
                )
    refused = [Refused(row=rows[at], why=tuple(said)) for at, said in why.items()]
    refused += [
        Refused(row=rows[at], why=(f"says the same as line {rows[first].line}",), animal=False)
        for at, first in same.items()
        if at not in why
    ]
    gone = set(why) | set(same)
    return [at for at in range(len(lines)) if at not in gone], refused
