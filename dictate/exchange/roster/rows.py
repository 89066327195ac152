"""Each row an animal, or refused with the reason in plain words; nothing falls between."""

import datetime as dt
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from dictate.entry.wording import counted
from dictate.errors import RosterError
from dictate.exchange.roster import values
from dictate.exchange.roster.cells import Cell, Row, Table
from dictate.exchange.roster.columns import FIELDS, Columns, cells_under, date_orders
from dictate.exchange.roster.dates import (
    DateOrder,
    Unfit,
    counted_from,
    read_date,
)
from dictate.exchange.roster.finding import find_columns
from dictate.exchange.roster.leaving import LeavingColumn, leaving_columns
from dictate.exchange.roster.refused import (
    Refused,
    counts,
    doubled,
    folded_cells,
    is_summed,
    may_be_animal,
    not_a_row,
    of_other_farms,
    rows_above,
)
from dictate.exchange.roster.said_beside import Beside
from dictate.exchange.roster.table import read_table_file
from dictate.exchange.roster.words import is_no
from dictate.large_work import without_collecting
from dictate.store.roster_lines import RosterLine
from dictate.store.states import AnimalStatus

if TYPE_CHECKING:
    from grammar import Roster

_DATES = ("calved_on", "dried_off_on", "left_on")
_READERS: Mapping[str, Callable[[str], Any]] = {
    "number": values.number,
    "eid": values.eid,
    "ear_tag": values.ear_tag,
    "name": values.name,
    "lactation": values.lactation,
    "status": values.status,
    "farm": str,
}
_SUMS_END = 4
"""Rows at the end of a list among which sums stand."""
_SHOWN = 10
_REMARK_SHOWN = 60
"""Letters of a remark."""
_SEVERAL = "management number {!r} may be several animals: give each a line"
NAMING = frozenset({"number", "eid", "ear_tag", "status"})


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
    may_have_left: tuple[tuple[str, str], ...] = ()
    """Number and remark of each of `lines` whose remark has a word for leaving in it."""

    @property
    def told(self) -> list[str]:
        """How the file was read, one line for each thing that somebody may want to know."""
        told = self.columns.told(self.how, FIELDS, self.dates)
        gone = [line for line in self.lines if line.status not in (None, AnimalStatus.PRESENT)]
        if gone:
            some = ", ".join(line.number for line in gone[:_SHOWN]) + " …" * (len(gone) > _SHOWN)
            many = f"{counted(len(gone), 'animal')} {'has' if len(gone) == 1 else 'have'} left"
            told.append(f"By this list {many}: {some}.")
        if self.may_have_left:
            shown = self.may_have_left[:_SHOWN]
            noted = "; ".join(f"{number}, {_short(said)!r}" for number, said in shown)
            more = " …" * (len(self.may_have_left) > _SHOWN)
            told.append(
                f"A remark may say that she left, and she is taken as there: {noted}{more}."
            )
        return told

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
    table: Table,
    columns: Columns,
    *,
    dates: DateOrder | None = None,
    today: dt.date,
    farm: str | None = None,
) -> RosterRead:
    """Read the rows below the headings.

    Args:
        table: The file.
        columns: What its columns are.
        dates: The order of day and month, when a person said it.
        today: No cow calved after it.
        farm: Whose list it is; rows of other farms are refused.

    Raises:
        RosterError: a person has to say first which column is what, which order the dates have, or
            which of its farms a list is taken in for.
    """
    columns.must_be_known()
    body = table.rows[columns.start :]
    orders, unsure = date_orders(columns, body, _DATES, dates, today)
    heads = folded_cells(columns.headings)
    left = leaving_columns(columns, body)
    signs = {sign for column in left.values() for sign in column.marks}
    zeros = {
        name: counted_from(
            [cell for cell in cells_under(columns, body, name) if cell not in signs],
            table.day_zero,
        )
        for name in _DATES
    }
    spelt = values.spellings(cells_under(columns, body, "number"))
    elsewhere = of_other_farms(table, columns, farm)
    beside = Beside(table, columns)
    lines: list[RosterLine] = []
    rows = []
    refused = rows_above(table, columns)
    for at, row in enumerate(body):
        if fault := not_a_row(row, heads):
            refused.append(fault)
            continue
        if (at >= len(body) - _SUMS_END or counts(row, columns, len(lines))) and is_summed(row):
            refused.append(Refused(row=row, why=("is a sum or a mean",), animal=False))
            continue
        if row.line in elsewhere:
            refused.append(Refused(row=row, why=(elsewhere[row.line],), animal=False))
            continue
        cells, why = _read(row, columns, orders, unsure, zeros, left, spelt=spelt, today=today)
        if cells.get("status") in (None, AnimalStatus.PRESENT):
            why += beside.take(row, cells)
        if why:
            refused.append(Refused(row=row, why=tuple(why), animal=may_be_animal(row, columns)))
        else:
            # Each cell was checked above: building it again from checked values costs more.
            lines.append(RosterLine.model_construct(**cells))
            rows.append(row)
    several = values.several_in_one([line.number for line in lines])
    refused += [Refused(row=rows[at], why=(_SEVERAL.format(lines[at].number),)) for at in several]
    lines = [line for at, line in enumerate(lines) if at not in several]
    rows = [row for at, row in enumerate(rows) if at not in several]
    keep, twice = doubled(lines, rows)
    return RosterRead(
        lines=tuple(lines[at] for at in keep),
        rows=tuple(rows[at] for at in keep),
        refused=tuple(sorted(refused + twice, key=lambda one: one.row.line)),
        columns=columns,
        dates=next((order for order in orders.values() if order), None),
        how=table.how,
        may_have_left=tuple(
            (lines[at].number, beside.unsure[rows[at].line])
            for at in keep
            if rows[at].line in beside.unsure
        ),
    )


def _short(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= _REMARK_SHOWN else f"{text[: _REMARK_SHOWN - 1]}…"


def _read(
    row: Row,
    columns: Columns,
    orders: Mapping[str, DateOrder | None],
    unsure: Mapping[str, str],
    zeros: Mapping[str, dt.date | None],
    left: Mapping[int, LeavingColumn],
    *,
    spelt: Mapping[str, str],
    today: dt.date,
) -> tuple[dict[str, Any], list[str]]:
    """The values of one row, and what is wrong with it."""
    cells: dict[str, Any] = {}
    why: list[str] = []
    for at, field in columns.fields.items():
        try:
            cell = columns.cell(row, at)
            if field in _DATES:
                read = _day(field, cell, orders[field], unsure, today, zeros[field], left.get(at))
            else:
                read = _text(field, cell, spelt)
            # `Sold` and `Sold on` beside each other: the day alone says less.
            if read is not None and not (read is AnimalStatus.OFF_ROSTER and field in cells):
                cells[field] = read
        except Unfit as fault:
            why.append(f"{FIELDS[field].partition(',')[0]} {fault}")
    cells.pop("farm", None)  # it only says whose row it is
    gone = cells.pop("left_on", None)
    if gone and cells.get("status") in (None, AnimalStatus.PRESENT):
        cells["status"] = gone  # what she was doing on her last day, `in milk`, is no longer so
    if not why and "number" not in cells:
        why.append("has no management number")
    return cells, why


def _text(field: str, cell: Cell, spelt: Mapping[str, str]) -> Any:
    """A value that is no day; None where nothing stands."""
    if not isinstance(cell, str):
        raise Unfit(f"{cell} is a date")
    if field == "name":  # it may be written over two lines
        cell = " ".join(cell.split("\n"))
    text = values.bare(cell)
    if field == "number":
        text = spelt.get(text, text)
    return _READERS[field](text) if text else None


def _day(
    field: str,
    cell: Cell,
    order: DateOrder | None,
    unsure: Mapping[str, str],
    today: dt.date,
    day_zero: dt.date | None,
    left: LeavingColumn | None,
) -> dt.date | AnimalStatus | None:
    """A day, or what the day on which she left means; None where nothing stands."""
    if isinstance(cell, str) and not (cell := values.bare(cell)):
        if left is not None and left.blank_asks:
            raise Unfit("is blank where others have a yes: is she gone?")
        return None
    if isinstance(cell, dt.date) and field in unsure:
        raise Unfit(unsure[field])
    if left is not None:
        return left.status(cell, order, today, day_zero)
    if isinstance(cell, str) and is_no(cell):
        return None  # `nie` under "dried off" is as good as nothing
    return read_date(cell, order, today, day_zero)
