"""The cells of an old workbook (.xls, BIFF). In plain Python: a stranger's file ends in an error at worst."""

from collections.abc import Iterator
from typing import Any

import xlrd

from dictate.errors import RosterError
from dictate.exchange.roster.cells import Cell, Row, Sheet, as_cell


def old_workbook_sheets(data: bytes) -> list[Sheet]:
    """Read every sheet.

    Raises:
        RosterError: it cannot be read, or needs a password.
    """
    try:
        with xlrd.open_workbook(
            file_contents=data, formatting_info=True, logfile=_Silent(), ragged_rows=True
        ) as book:
            return [
                Sheet(name=sheet.name, hidden=sheet.visibility != 0, rows=list(_rows(book, sheet)))
                for sheet in book.sheets()
            ]
    except Exception as error:
        # What a broken file makes xlrd raise is not told anywhere.
        raise RosterError(
            "is no workbook that can be read (an old .xls file, or one with a password)",
            remedy="Save the list as .xlsx or CSV once more",
        ) from error


class _Silent:
    def write(self, text: str) -> int:
        return len(text)

    def flush(self) -> None:
        """Nothing is kept."""


def _rows(book: Any, sheet: Any) -> Iterator[Row]:
    for at in range(sheet.nrows):
        row = [_cell(book, cell) for cell in sheet.row(at)]
        while row and row[-1] == "":
            row.pop()
        if any(str(cell).strip() for cell in row):
            yield Row(at + 1, tuple(row))


def _cell(book: Any, cell: Any) -> Cell:
    if cell.ctype == xlrd.XL_CELL_DATE:
        when = xlrd.xldate_as_datetime(cell.value, book.datemode)
        return str(when.time()) if cell.value < 1 else as_cell(when)
    if cell.ctype == xlrd.XL_CELL_BOOLEAN:
        return as_cell(bool(cell.value))
    if cell.ctype == xlrd.XL_CELL_ERROR:
        return xlrd.error_text_from_code.get(cell.value, "#ERROR!")
    if cell.ctype == xlrd.XL_CELL_NUMBER:
        shown = book.format_map[book.xf_list[cell.xf_index].format_key].format_str
        return as_cell(cell.value, shown)
    return as_cell(cell.value or None)
