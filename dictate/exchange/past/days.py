"""Lists that say the day elsewhere than in each row: at the head of a column, or once above the rows."""

import datetime as dt
from dataclasses import replace

from dictate.exchange.past.kind import NAMING, PAST
from dictate.exchange.roster.cells import Cell, Row, Table
from dictate.exchange.roster.columns import Columns
from dictate.exchange.roster.dates import is_date
from dictate.exchange.roster.heading_rows import known_headings, meaning_of
from dictate.exchange.roster.refused import folded_cells

_LOOK = 60
"""Rows that are looked at to find headings."""


def one_visit_a_row(table: Table) -> Table:
    """Each cell under a day as a row of its own, with the day and what was found; others stay.

    Only where days stand beside a heading that names the animal, and no other column is of the day
    or of a lesion.
    """
    for at, row in enumerate(table.rows[:_LOOK]):
        days = [place for place, cell in enumerate(row.cells) if is_date(cell)]
        fields = {meaning_of(text, {}, PAST) for text in row.texts} - {None}
        if not days or not fields & NAMING or not known_headings(row.texts, kind=PAST):
            continue
        if fields - NAMING - {"remark"}:
            return table
        others = [place for place in range(len(row.cells)) if place not in days]
        rows = [*table.rows[:at], _row(row, others, len(row.cells), "Date", "Lesion")]
        for one in table.rows[at + 1 :]:
            filled = [place for place in days if str(_cell(one, place)).strip()]
            rows += [
                _row(one, others, len(row.cells), row.cells[place], _cell(one, place))
                for place in filled
            ] or [_row(one, others, len(row.cells), "", "")]
        return replace(table, rows=tuple(rows), how=f"{table.how}, a column for each visit")
    return table


def _cell(row: Row, at: int) -> Cell:
    return row.cells[at] if at < len(row.cells) else ""


def _row(row: Row, others: list[int], width: int, day: Cell | dt.date, found: Cell) -> Row:
    """Cells beyond the headings stay beyond them, where they are refused with their row."""
    kept = tuple(_cell(row, at) for at in others)
    return Row(row.line, (*kept, day, found, *row.cells[width:]), row.fault)


def days_from_above(table: Table, columns: Columns) -> tuple[Table, Columns]:
    """The same list with a day in each row; a line that holds nothing but a day is in the rows below it.

    `12.03.2026`, `Visit: 12.03.2026` and `Datum 12.03.2026` are such lines, also above the headings.
    Any other word beside a day ("printed on") says nothing about the rows below: they have no day
    then, not the day of the rows before.
    """
    at, titles = columns.column("date"), table.rows[: columns.above]
    place = columns.width if at is None else at
    if at is None:
        columns = replace(
            columns.without("date"), fields={**columns.fields, place: "date"},
            headings=(*columns.headings, *[""] * (place - len(columns.headings)), "Day") if columns.headings else (),
        )  # fmt: skip
    heads = folded_cells(columns.headings[:place])
    last: Cell = next((day for row in titles if (day := _day_alone(row))), "")
    rows, filled = [], 0
    for row in table.rows[columns.start :]:
        day = _day_alone(row)
        if day is not None:
            last = day
            if day:
                continue
        cell = _cell(row, place)
        if at is None and heads and folded_cells(row.texts[:place]) == heads:
            cell = "Day"
        elif isinstance(cell, str) and not cell.strip() and day is None:
            cell, filled = last, filled + bool(last)
        elif day is None:
            last = cell
        padded = (*row.cells, *[""] * (place - len(row.cells)))
        rows.append(replace(row, cells=(*padded[:place], cell, *padded[place + 1 :])))
    how = f"{table.how}, the day of {filled} rows from above"
    return replace(table, rows=(*table.rows[: columns.start], *rows), how=how), columns


def _day_alone(row: Row) -> Cell | None:
    """The day of a line that holds nothing else; empty where its word is unknown, None for other lines."""
    said = [cell for cell in row.cells if not isinstance(cell, str) or cell.strip()]
    if not 1 <= len(said) <= 2:
        return None
    *words, day = said if len(said) == 2 else [said[0]]
    if isinstance(day, str) and not is_date(day):
        word, _, day = day.strip().rpartition(" ")
        words += [word.rstrip(" :")] if word else []
    if not is_date(day) or any(letter.isdigit() for word in words for letter in str(word)):
        return None
    return day if all(meaning_of(str(word), {}, PAST) == "date" for word in words) else ""
