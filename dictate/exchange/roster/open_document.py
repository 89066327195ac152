"""The cells of an open document's sheets (.ods, OASIS OpenDocument 1.2), as a person sees them there."""

import datetime as dt
import zipfile
from collections.abc import Iterator
from xml.etree.ElementTree import Element, fromstring

from dictate.errors import RosterError
from dictate.exchange.roster.cells import COLUMNS_MAX, Cell, Row, Sheet, as_cell

_OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
_TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
_TEXT = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"
_STYLE = "{urn:oasis:names:tc:opendocument:xmlns:style:1.0}"
_ROWS_MAX = 1_048_576
"""A spreadsheet has no more."""
_CELLS = (f"{_TABLE}table-cell", f"{_TABLE}covered-table-cell")


def open_document_sheets(packed: zipfile.ZipFile) -> list[Sheet]:
    """Read every sheet.

    Raises:
        RosterError: it is another kind of document, needs a password, or is damaged.
    """
    try:
        root = fromstring(packed.read("content.xml"))  # noqa: S314 (expat refuses entity bombs)
    except Exception as error:
        raise RosterError(
            "is no open document that can be read, or needs a password",
            remedy="Save the list as .xlsx or CSV once more",
        ) from error
    body = root.find(f"{_OFFICE}body/{_OFFICE}spreadsheet")
    if body is None:
        raise RosterError("is a text document", remedy="Save the list as .xlsx or CSV")
    unseen = {
        style.get(f"{_STYLE}name")
        for style in root.iter(f"{_STYLE}style")
        if (said := style.find(f"{_STYLE}table-properties")) is not None
        and said.get(f"{_TABLE}display") == "false"
    }
    return [
        Sheet(
            name=table.get(f"{_TABLE}name", ""),
            hidden=table.get(f"{_TABLE}style-name") in unseen,
            rows=list(_rows(table)),
        )
        for table in body.findall(f"{_TABLE}table")
    ]


def _rows(table: Element) -> Iterator[Row]:
    line = 0
    for row in table.iter(f"{_TABLE}table-row"):
        times = _times(row, "rows")
        cells = _cells(row)
        if any(str(cell).strip() for cell in cells):
            if times > 100 or line + times > _ROWS_MAX:
                raise RosterError(f"has {times} equal rows from line {line + 1} on")
            yield from (Row(line + at, cells) for at in range(1, times + 1))
        line += times


def _cells(row: Element) -> tuple[Cell, ...]:
    cells: list[Cell] = []
    blanks = 0
    for one in row:
        if one.tag not in _CELLS:
            continue
        value, times = _cell(one), _times(one, "columns")
        if value == "":
            blanks += times
            continue
        if len(cells) + blanks + times > COLUMNS_MAX:
            raise RosterError(
                f"has more than {COLUMNS_MAX} columns", remedy="A list has one animal a line"
            )
        cells += [""] * blanks + [value] * times
        blanks = 0
    return tuple(cells)


def _times(one: Element, what: str) -> int:
    said = one.get(f"{_TABLE}number-{what}-repeated", "1")
    return max(int(said), 1) if said.isascii() and said.isdigit() and len(said) < 9 else 1


def _cell(one: Element) -> Cell:
    """A date as one; else what stands there, with its zeros in front."""
    kind = one.get(f"{_OFFICE}value-type", "")
    shown = "\n".join("".join(part.itertext()) for part in one.findall(f"{_TEXT}p"))
    if kind == "date":
        try:
            return dt.date.fromisoformat(one.get(f"{_OFFICE}date-value", "")[:10])
        except ValueError:
            return shown
    if kind == "float":
        if shown.isascii() and shown.isdigit():
            return shown
        try:
            return as_cell(float(one.get(f"{_OFFICE}value", "")))
        except ValueError:
            return shown
    return shown
