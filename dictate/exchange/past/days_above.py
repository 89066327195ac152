"""Lists that say the day once, for the rows below it: in their first row, or on a line of its own."""

from dataclasses import replace

from dictate.exchange.past.kind import PAST
from dictate.exchange.roster.cells import Cell, Row, Table
from dictate.exchange.roster.columns import Columns
from dictate.exchange.roster.dates import is_date
from dictate.exchange.roster.heading_rows import meaning_of
from dictate.exchange.roster.refused import folded_cells


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
        cell = row.cells[place] if place < len(row.cells) else ""
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
