"""The cells of an Excel workbook (.xlsx), as a person sees them there."""

import datetime as dt
import io
import re
import zipfile
from collections.abc import Iterator
from typing import Any
from xml.etree.ElementTree import ParseError

from openpyxl import load_workbook
from openpyxl.utils.exceptions import InvalidFileException

from dictate.errors import RosterError
from dictate.exchange.roster.columns import known_headings
from dictate.exchange.roster.table import COLUMNS_MAX, Cell, Row, Table

__all__ = ["read_workbook"]

_EXACT_BELOW = 1e15
"""A spreadsheet keeps fifteen digits of a number and makes the rest zero."""
_UNPACKED_MAX = 300_000_000
_LOOK = 30
_ZEROS = re.compile(r"0+")
_NO_RESULT = "=… (a formula without its result)"


def read_workbook(data: bytes, sheet: str | None) -> Table:
    """Read one sheet: the one named, else the only one that looks like a list.

    Raises:
        RosterError: it is no workbook, or does not say which sheet is the list.
    """
    try:
        _check_size(data)
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
        formulas = _has_formulas(data)
        named = _the_sheet(book, sheet)
        rows = list(_rows(book[named]))
        if formulas:
            plain = load_workbook(io.BytesIO(data), read_only=True)
            rows = _without_lost_results(rows, {row.line: row for row in _rows(plain[named])})
    except (
        zipfile.BadZipFile, InvalidFileException, ParseError, KeyError, ValueError, OSError, EOFError,
        TypeError, AttributeError, IndexError, NotImplementedError,
    ) as error:  # fmt: skip
        # What a broken file makes openpyxl raise is not told anywhere.
        raise RosterError(
            "is no workbook that can be read", remedy="Save the list as .xlsx or CSV once more"
        ) from error
    rows = [row for row in rows if any(str(cell).strip() for cell in row.cells)]
    return Table(rows=tuple(rows), how=f"workbook, sheet {named!r}")


def _check_size(data: bytes) -> None:
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        if sum(item.file_size for item in packed.infolist()) > _UNPACKED_MAX:
            raise RosterError("is too large for a list of animals")


def _has_formulas(data: bytes) -> bool:
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        sheets = [name for name in packed.namelist() if name.startswith("xl/worksheets/")]
        return any(b"<f" in packed.read(name) for name in sheets)


def _the_sheet(book: Any, asked: str | None) -> str:
    names = [sheet.title for sheet in book.worksheets]
    if asked is not None:
        for name in names:
            if name.strip().casefold() == asked.strip().casefold():
                return str(name)
        raise RosterError(f"has no sheet {asked!r}", remedy=f"It has: {', '.join(names)}")
    filled = [name for name in names if next(_rows(book[name]), None) is not None]
    lists = [name for name in filled if _looks_like_list(book[name])] or filled
    if len(lists) > 1:
        raise RosterError(
            f"has several sheets that could be the list: {', '.join(lists)}",
            remedy=f'Name one: --sheet "{lists[0]}"',
        )
    if not lists:
        if not names:
            raise RosterError("has no sheets")
        return str(names[0])
    return str(lists[0])


def _looks_like_list(sheet: Any) -> bool:
    return any(
        row.line <= _LOOK and known_headings(row.texts) > 0
        for row, _ in zip(_rows(sheet), range(_LOOK), strict=False)
    )


def _rows(sheet: Any) -> Iterator[Row]:
    sheet.reset_dimensions()  # files of other programs state a wrong size
    for at, cells in enumerate(sheet.iter_rows(max_col=COLUMNS_MAX), start=1):
        row = [_cell(cell) for cell in cells]
        while row and row[-1] == "":
            row.pop()
        if row:
            yield Row(at, tuple(row))


def _cell(cell: Any) -> Cell:
    value = cell.value
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
        return _number(value, cell.number_format or "")
    return str(value)


def _number(value: float, shown_as: str) -> str:
    """A number as digits: zeros in front are there when the cell shows them."""
    if value != value or abs(value) >= _EXACT_BELOW:  # noqa: PLR0124 (not a number)
        return f"{value:.2E}"
    if value == int(value):
        zeros = len(shown_as) if _ZEROS.fullmatch(shown_as) else 0
        return f"{int(value):0{zeros}d}" if value >= 0 else str(int(value))
    return repr(value)


def _without_lost_results(rows: list[Row], plain: dict[int, Row]) -> list[Row]:
    """Where a formula stands whose result was never kept, the cell says so."""
    there = {row.line: row for row in rows}
    mended = []
    for line, formula_row in plain.items():
        cells = list(there[line].cells) if line in there else []
        for at, cell in enumerate(formula_row.cells):
            if isinstance(cell, str) and cell.startswith("="):
                cells += [""] * (at + 1 - len(cells))
                if cells[at] == "":
                    cells[at] = _NO_RESULT
        mended.append(Row(line, tuple(cells)))
    return mended
