"""The cells of an .xlsx workbook read closely: number formats, formulas and errors are seen. Slow."""

import io
from collections.abc import Iterable, Iterator
from typing import Any

from openpyxl import load_workbook

from dictate.exchange.roster.cells import Row, Sheet, as_cell

_STRUCK = (
    "is struck through: say in a column `status` whether she is sold or dead, or take the line off"
)
_NO_RESULT = "=… (a formula without its result)"


def sheets_closely(data: bytes) -> list[Sheet]:
    """Read every sheet; what a broken file raises is for the caller."""
    book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
    plain = load_workbook(io.BytesIO(data), read_only=True)
    return [
        Sheet(
            name=sheet.title,
            hidden=sheet.sheet_state != "visible",
            rows=_with_lost_results(list(_rows(sheet)), _formulas(plain[sheet.title])),
        )
        for sheet in book.worksheets
    ]


def _rows(sheet: Any) -> Iterator[Row]:
    sheet.reset_dimensions()  # files of other programs state a wrong size
    for at, cells in enumerate(sheet.iter_rows(), start=1):
        row = [as_cell(cell.value, getattr(cell, "number_format", "") or "") for cell in cells]
        while row and row[-1] == "":
            row.pop()
        if any(str(cell).strip() for cell in row):
            yield Row(at, tuple(row), _STRUCK if _is_struck(cells) else "")


def _is_struck(cells: Iterable[Any]) -> bool:
    """Whether all that stands in a row is struck through, as people do with animals that left."""
    filled = [cell for cell in cells if str(cell.value or "").strip()]
    return bool(filled) and all(cell.font is not None and cell.font.strike for cell in filled)


def _formulas(sheet: Any) -> dict[int, list[int]]:
    """Line to the columns that hold a formula."""
    return {
        row.line: found
        for row in _rows(sheet)
        if (found := [at for at, cell in enumerate(row.cells) if str(cell).startswith("=")])
    }


def _with_lost_results(rows: list[Row], formulas: dict[int, list[int]]) -> list[Row]:
    """Where a formula stands whose result was never kept, the cell says so."""
    there = {row.line: row for row in rows}
    for line, columns in formulas.items():
        cells = list(there[line].cells) if line in there else []
        cells += [""] * (max(columns) + 1 - len(cells))
        for at in columns:
            cells[at] = cells[at] or _NO_RESULT
        there[line] = Row(line, tuple(cells), there[line].fault if line in there else "")
    return [there[line] for line in sorted(there)]
