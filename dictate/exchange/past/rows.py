"""Each row a visit of one animal, or refused with the reason in plain words."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from dictate.errors import RosterError
from dictate.exchange.past.days import days_from_above
from dictate.exchange.past.headed import Headed, headed_columns
from dictate.exchange.past.kind import PAST
from dictate.exchange.past.treatments import must_go_together, read_treatments
from dictate.exchange.roster import values
from dictate.exchange.roster.cells import Row, Table
from dictate.exchange.roster.columns import Columns, cells_under, date_orders
from dictate.exchange.roster.dates import (
    DateOrder,
    Unfit,
    counted_from,
    read_date,
)
from dictate.exchange.roster.refused import (
    Refused,
    folded_cells,
    not_a_row,
    of_other_farms,
    rows_above,
)
from dictate.exchange.roster.words import folded, is_no_animal
from dictate.store.past_entries import PastLine


@dataclass(frozen=True, slots=True, kw_only=True)
class PastRead:
    """What a file holds."""

    lines: tuple[PastLine, ...]
    rows: tuple[Row, ...]
    """Where each of `lines` stands."""
    refused: tuple[Refused, ...]
    columns: Columns
    dates: DateOrder | None
    how: str

    @property
    def told(self) -> list[str]:
        """How the file was read, one line for each thing that somebody may want to know."""
        return self.columns.told(self.how, PAST.fields, self.dates)


@dataclass(frozen=True, slots=True, kw_only=True)
class _How:
    """What holds for all rows of a file."""

    columns: Columns
    words: Mapping[str, str]
    headed: Mapping[int, Headed]
    order: DateOrder | None
    unsure: str
    """Why a day that a workbook marks as one is doubtful; empty where it is not."""
    zero: dt.date | None
    spelt: Mapping[str, str]
    """Numbers as a spreadsheet wrote them, to how they are meant."""
    on: dt.date | None
    today: dt.date


def read_past(
    table: Table,
    columns: Columns,
    *,
    words: Mapping[str, str] | None = None,
    dates: DateOrder | None = None,
    on: dt.date | None = None,
    today: dt.date,
    farm: str | None = None,
    day_above: bool = False,
) -> PastRead:
    """Read the rows below the headings.

    Args:
        table: The file.
        columns: What its columns are.
        words: What a person said that words of the file mean, folded.
        dates: The order of day and month, when a person said it.
        on: The day of all rows, where no column says it.
        today: Nothing was treated after it.
        farm: Whose list it is; rows of other farms are refused.
        day_above: A row without a day is of the day above it.

    Raises:
        RosterError: a person has to say first which column is what, which order the dates have, or
            which of its farms a list is taken in for.
    """
    if day_above:
        table, columns = days_from_above(table, columns)
    if on is not None:
        columns = _of_one_day(columns, on, today)
    columns.must_be_known()
    must_go_together(columns)
    body = table.rows[columns.start :]
    orders, unsure = date_orders(columns, body, ("date",), dates, today)
    order = orders.get("date")
    how = _How(
        columns=columns, words=words or {}, headed=headed_columns(columns, body, words or {}),
        order=order, unsure=unsure.get("date", ""), zero=counted_from(cells_under(columns, body, "date"), table.day_zero),
        spelt=values.spellings(cells_under(columns, body, "number")), on=on, today=today,
    )  # fmt: skip
    heads = folded_cells(columns.headings)
    elsewhere = of_other_farms(table, columns, farm)
    lines, rows = [], []
    refused = rows_above(table, columns)
    for row in body:
        if none := not_a_row(row, heads):
            refused.append(none)
            continue
        if row.line in elsewhere:
            refused.append(Refused(row=row, why=(elsewhere[row.line],), animal=False))
            continue
        try:
            lines.append(_line(row, how))
            rows.append(row)
        except Unfit as fault:
            animal = not any(is_no_animal(text) for text in row.texts if text)
            refused.append(Refused(row=row, why=(str(fault),), animal=animal))
    several = values.several_in_one([line.number or "" for line in lines])
    refused += [
        Refused(
            row=rows[at],
            why=(f"number {lines[at].number!r} may be several animals: give each a line",),
        )
        for at in several
    ]
    keep = [at for at in range(len(lines)) if at not in several]
    return PastRead(
        lines=tuple(lines[at] for at in keep), rows=tuple(rows[at] for at in keep), columns=columns, dates=order, how=table.how,
        refused=tuple(sorted(refused, key=lambda one: one.row.line)),
    )  # fmt: skip


def _of_one_day(columns: Columns, on: dt.date, today: dt.date) -> Columns:
    try:
        read_date(on, None, today)
    except Unfit as fault:
        raise RosterError(f"the day said for all rows: {fault}", remedy="Say another") from fault
    return columns.without("date")


def _line(row: Row, how: _How) -> PastLine:
    cells: dict[str, Any] = {"date": how.on}
    places: dict[int, str] = {}
    for at, name in how.columns.fields.items():
        cell = how.columns.cell(row, at)
        if name == "date":
            if isinstance(cell, dt.date) and how.unsure:
                raise Unfit(f"the day {how.unsure}")
            text: Any = values.bare(cell) if isinstance(cell, str) else cell
            if not text:
                raise Unfit("has no day")
            cells[name] = read_date(text, how.order, how.today, how.zero)
        else:
            text = values.bare(cell if isinstance(cell, str) else str(cell))
            if name in PAST.repeated:
                if "?" in text and folded(text) not in how.words:
                    raise Unfit(f"{text!r} is in doubt")
                places[at] = text
            else:
                cells[name] = text
    if number := cells.get("number"):
        cells["number"] = how.spelt.get(number, number)
    naming = {
        name: read(cells[name])
        for name, read in (("number", values.number), ("eid", values.eid), ("ear_tag", values.ear_tag))
        if cells.get(name)
    }  # fmt: skip
    if not naming:
        raise Unfit("names no animal")
    findings, actions = read_treatments(how.columns, places, how.words, how.headed)
    return PastLine(
        date=cells["date"], **naming, findings=findings, actions=actions,
        remark=cells.get("remark") or None, text=" ".join(text for text in row.texts if text.strip()),
    )  # fmt: skip
