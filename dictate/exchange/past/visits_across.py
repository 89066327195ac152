"""A list with a column for each visit, headed by its day, as one row for each visit."""

import datetime as dt
from dataclasses import replace

from dictate.exchange.past.kind import PAST
from dictate.exchange.roster.cells import Cell, Row, Table
from dictate.exchange.roster.dates import is_date
from dictate.exchange.roster.heading_rows import known_headings, meaning_of

_LOOK = 60
"""Rows that are looked at to find headings."""
_NAMING = frozenset({"number", "eid", "ear_tag"})


def one_visit_a_row(table: Table) -> Table:
    """Each cell under a day as a row of its own, with the day and what was found; others stay.

    Only where days stand beside a heading that names the animal, and no other column is of the day
    or of a lesion.
    """
    for at, row in enumerate(table.rows[:_LOOK]):
        days = [place for place, cell in enumerate(row.cells) if is_date(cell)]
        fields = {meaning_of(text, {}, PAST) for text in row.texts} - {None}
        if not days or not fields & _NAMING or not known_headings(row.texts, kind=PAST):
            continue
        if fields - _NAMING - {"remark"}:
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
