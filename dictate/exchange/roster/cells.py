"""What a list is before anybody knows what it means: cells, rows, sheets, tables."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

Cell = str | dt.date
"""Text as it stands in the file; a date only where a workbook says that the cell is one."""

COLUMNS_MAX = 200
_ONLY_TEXT = frozenset({str})
_EXACT_BELOW = 1e15
"""A spreadsheet keeps fifteen digits of a number and makes the rest zero."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row that holds something."""

    line: int
    """Where it stands in the file, from 1."""
    cells: tuple[Cell, ...]
    fault: str = ""
    """Why its cells cannot be trusted."""
    comments: tuple[str, ...] = ()
    """What people pinned to its cells."""

    @property
    def texts(self) -> tuple[str, ...]:
        """The cells as a person reads them."""
        if set(map(type, self.cells)) <= _ONLY_TEXT:
            return self.cells  # type: ignore[return-value]
        return tuple(
            cell if isinstance(cell, str) else cell.strftime("%Y-%m-%d") for cell in self.cells
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    rows: tuple[Row, ...]
    how: str
    """How it was read, for people: letters and delimiter, or the sheet of a workbook."""
    day_zero: dt.date | None = None
    """The day from which a workbook counts days; None where plain numbers are no days."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet of a workbook."""

    name: str
    hidden: bool
    rows: Sequence[Row]
    hidden_lines: tuple[int, ...] = ()
    """Filled rows that do not show."""


def as_cell(value: Any, shown_as: str = "") -> Cell:
    """A value as a person sees it in its cell; `shown_as` is the number format."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, dt.datetime):
        return value.date()
    if isinstance(value, dt.date):
        return value
    if isinstance(value, int | float):
        return _number(value, shown_as)
    return str(value)


def _number(value: float, shown_as: str) -> str:
    """A number as digits: zeros in front are there when the cell shows them."""
    if value != value or abs(value) >= _EXACT_BELOW:  # noqa: PLR0124 (not a number)
        return f"{value:.2E}"
    if value == int(value):
        zeros = len(shown_as) if shown_as and not shown_as.strip("0") else 0
        return f"{int(value):0{zeros}d}" if value >= 0 else str(int(value))
    return repr(value)
