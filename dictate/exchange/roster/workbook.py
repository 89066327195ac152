"""The cells of a workbook: .xlsx, old .xls, or an open document (.ods), as a person sees them there."""

import datetime as dt
import io
import re
import zipfile
from collections.abc import Iterable, Sequence
from typing import Any

from python_calamine import CalamineWorkbook, SheetVisibleEnum, load_workbook

from dictate.entry.wording import counted
from dictate.errors import RosterError
from dictate.exchange.roster.cells import COLUMNS_MAX, Row, Sheet, Table, as_cell
from dictate.exchange.roster.heading_rows import known_headings
from dictate.exchange.roster.ways_to_leave import way_at_start
from dictate.exchange.roster.workbook_asides import with_asides

_UNPACKED_MAX = 300_000_000
_CELLS_MAX = 12_000_000
"""The fast reader keeps a place for each cell between the corners; beyond this, rows are read one by one."""
_LOOK = 30
_LINES_SHOWN = 5
_CLOSER = re.compile(rb'<f[ >/]|<c [^>]*t="e"')
"""A formula, or a cell that holds an error: the fast reader tells neither from a plain cell."""
_SHOWN = re.compile(rb'formatCode="0{2,}"|<strike(?: val="(?:1|true)")?\s*/>')
"""Zeros in front that only the number format has, and letters that are struck through."""
_PLACE = re.compile(rb"""\sr\s*=\s*["'](?:([A-Z]{0,3})([0-9]{1,7})["'])?""")
"""Where a row or a cell stands; nothing behind the sign where it is no place that can be."""
_SINCE_1904 = re.compile(rb"""date1904\s*=\s*["'](?:1|true)["']""")
_ROWS_MAX, _COLUMNS_MAX = 1_048_576, 16_384
"""Of a worksheet, as the makers of the form state them (XFD1048576 is the last cell)."""


def read_workbook(data: bytes, asked: str | None) -> Table:
    """Read one sheet: the one asked for, else the only one that looks like a list.

    Raises:
        RosterError: it is no workbook, or does not say which sheet is the list.
    """
    try:
        sheets, day_zero = _sheets(data), _day_zero(data)
    except RosterError:
        raise
    except Exception as error:
        # What a broken file makes the readers of its parts raise is told nowhere.
        raise _unreadable() from error
    except BaseException as error:
        # A panic of the fast reader's own language is no Exception.
        if type(error).__name__ != "PanicException":
            raise
        raise _unreadable() from error
    sheet = _the_sheet(sheets, asked)
    if any(len(row.cells) > COLUMNS_MAX for row in sheet.rows):
        raise RosterError(
            f"has more than {COLUMNS_MAX} columns", remedy="A list has one animal a line"
        )
    return Table(
        rows=tuple(sheet.rows),
        how=f"workbook, sheet {sheet.name!r}{_beside(sheet, sheets)}",
        day_zero=day_zero,
    )


def _beside(sheet: Sheet, sheets: Sequence[Sheet]) -> str:
    """What stands beside the rows that are read, each in brackets: other sheets, comments, hidden rows."""
    others = [one for one in sheets if one is not sheet and one.rows]
    shown = ", ".join(repr(one.name) for one in others if not one.hidden)
    aside = ", ".join(repr(one.name) for one in others if one.hidden)
    noted = sum(len(row.comments) for row in sheet.rows)
    lines = sheet.hidden_lines
    some = ", ".join(map(str, lines[:_LINES_SHOWN])) + " …" * (len(lines) > _LINES_SHOWN)
    told = [
        f"not read: {shown}" if shown else "",
        f"not looked at, because hidden: {aside}" if aside else "",
        f"{counted(noted, 'comment')} on cells not taken" if noted else "",
        f"{counted(len(lines), 'hidden row')} looked at too: {some}" if lines else "",
    ]
    return "".join(f" ({one})" for one in told if one)


def _day_zero(data: bytes) -> dt.date | None:
    """The day before the first of a workbook's calendar, which says which of two it has (ECMA-376, 18.17.4.1)."""
    if not data.startswith(b"PK"):
        return None
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        if "xl/workbook.xml" not in packed.namelist():
            return None
        since_1904 = _SINCE_1904.search(packed.read("xl/workbook.xml"))
    return dt.date(1904, 1, 1) if since_1904 else dt.date(1899, 12, 30)


def _unreadable() -> RosterError:
    return RosterError(
        "is no workbook that can be read", remedy="Save the list as .xlsx or CSV once more"
    )


def _sheets(data: bytes) -> list[Sheet]:
    if not data.startswith(b"PK"):
        from dictate.exchange.roster.old_workbook import old_workbook_sheets  # noqa: PLC0415

        return old_workbook_sheets(data)
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        if sum(item.file_size for item in packed.infolist()) > _UNPACKED_MAX:
            raise RosterError("is too large for a list of animals")
        if "content.xml" in packed.namelist():
            from dictate.exchange.roster.open_document import open_document_sheets  # noqa: PLC0415

            return open_document_sheets(packed)
        if "xl/workbook.xml" not in packed.namelist():
            raise _unreadable()
        if _needs_closer_look(packed):
            from dictate.exchange.roster.workbook_closely import sheets_closely  # noqa: PLC0415 (slow to load)

            sheets = sheets_closely(data)
        else:
            sheets = _fast(load_workbook(io.BytesIO(data)))
        return with_asides(sheets, packed)


def _needs_closer_look(packed: zipfile.ZipFile) -> bool:
    """Whether something stands in it that only the slow reader sees: formats, formulas, errors."""
    for name in packed.namelist():
        if name == "xl/styles.xml" and _SHOWN.search(packed.read(name)):
            return True
        if name.startswith("xl/worksheets/") and name.endswith(".xml"):
            text = packed.read(name)
            if _spread(text) > _CELLS_MAX or _CLOSER.search(text):
                return True
    return False


def _spread(text: bytes) -> int:
    """Cells between the corners of a sheet, filled or not; no reader gets a place that cannot be."""
    columns, rows = {b"A"}, {b"0"}
    for place in _PLACE.finditer(text):
        column, row = place.groups(b"")
        columns.add(column)
        rows.add(row)
    if b"" in rows:
        raise _unreadable()
    last, widest = max(map(int, rows)), max(columns, key=lambda one: (len(one), one))
    width = 0
    for letter in widest:
        width = width * 26 + letter - 64
    if last > _ROWS_MAX or width > _COLUMNS_MAX:
        raise _unreadable()
    return last * width


def _fast(book: CalamineWorkbook) -> list[Sheet]:
    return [
        Sheet(
            name=said.name,
            hidden=said.visible != SheetVisibleEnum.Visible,
            rows=_rows(book.get_sheet_by_name(said.name).to_python(skip_empty_area=False)),
        )
        for said in book.sheets_metadata
        if str(said.typ).endswith("WorkSheet")
    ]


def _rows(grid: Iterable[Sequence[Any]]) -> list[Row]:
    rows = []
    for at, values in enumerate(grid, start=1):
        cells = [value if type(value) is str else as_cell(value) for value in values]
        while cells and cells[-1] == "":
            cells.pop()
        if any(cell != "" for cell in cells) and any(str(cell).strip() for cell in cells):
            rows.append(Row(at, tuple(cells)))
    return rows


def _the_sheet(sheets: Sequence[Sheet], asked: str | None) -> Sheet:
    if not sheets:
        raise RosterError("has no sheets")
    if asked is not None:
        for one in sheets:
            if one.name.strip().casefold() == asked.strip().casefold():
                return one
        names = ", ".join(one.name for one in sheets)
        raise RosterError(f"has no sheet {asked!r}", remedy=f"It has: {names}")
    shown = [one for one in sheets if not one.hidden] or sheets
    filled = [one for one in shown if one.rows]
    lists = [one for one in filled if _looks_like_list(one)] or filled
    if len(lists) > 1:
        raise RosterError(
            f"has several sheets that could be the list: {', '.join(one.name for one in lists)}",
            remedy=f'Name one (--sheet): "{lists[0].name}"',
        )
    (found, *_) = lists or shown
    _must_be_there(found)
    return found


def _must_be_there(sheet: Sheet) -> None:
    """Ask before animals of a sheet named for leaving are taken as present."""
    way = way_at_start(sheet.name)
    if way and way.yes:
        raise RosterError(
            f"the list stands on a sheet named {sheet.name!r}: have its animals left?",
            remedy="If they have, say so in a column `status`; "
            f'if they are there, name the sheet (--sheet): "{sheet.name}"',
        )


def _looks_like_list(sheet: Sheet) -> bool:
    return any(row.line <= _LOOK and known_headings(row.texts) > 0 for row in sheet.rows[:_LOOK])
