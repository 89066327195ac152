"""A file as a table: its cells row by row, before anybody knows what they mean."""

import csv
import datetime as dt
import io
import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from dictate.errors import RosterError
from dictate.exchange.roster.letters import decode
from dictate.large_work import without_collecting

Cell = str | dt.date
"""Text as it stands in the file; a date only where a workbook says that the cell is one."""

BYTES_MAX = 100_000_000
COLUMNS_MAX = 200
_DELIMITERS = ",;\t|"
_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0"
_LOOK = 60
"""Rows that are looked at to find what stands between the columns."""
_HINT = re.compile(r"sep=(.)\s*", re.IGNORECASE)
_NOT_LISTS = (
    (b"%PDF", "a PDF"),
    (b"{\\rtf", "a text document"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"SQLite format 3", "a database"),
)


_ONLY_TEXT = frozenset({str})


@dataclass(frozen=True, slots=True)
class Row:
    """One row that holds something."""

    line: int
    """Where it stands in the file, from 1."""
    cells: tuple[Cell, ...]
    fault: str = ""
    """Why its cells cannot be trusted."""

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


def read_table_file(path: Path, **asked: str | None) -> Table:
    """Read a file; `asked` as for `read_table`.

    Raises:
        RosterError: it cannot be read, or is no table.
    """
    try:
        if not path.is_file():
            raise RosterError(
                "cannot be read: " + ("not a file" if path.exists() else "no such file"),
                where=str(path),
                remedy="Check the path",
            )
        if path.stat().st_size > BYTES_MAX:
            raise RosterError("is too large for a list of animals", where=str(path))
        data = path.read_bytes()
    except (OSError, ValueError) as error:
        said = getattr(error, "strerror", None) or str(error)
        raise RosterError(
            f"cannot be read: {said}", where=str(path), remedy="Check the path"
        ) from error
    try:
        return read_table(data, **asked)
    except RosterError as error:
        raise RosterError(error.what, where=str(path), remedy=error.remedy) from error


@without_collecting()
def read_table(
    data: bytes,
    *,
    sheet: str | None = None,
    encoding: str | None = None,
) -> Table:
    """Read CSV, a workbook, a web page's table or ADE, also packed: told apart by what is in it.

    Raises:
        RosterError: it is something else.
    """
    return _one_below_the_other(_read(data, sheet, encoding))


def _read(data: bytes, sheet: str | None, encoding: str | None) -> Table:
    from dictate.exchange.roster.columns import known_headings  # noqa: PLC0415 (it reads tables)

    data = _unpacked(data)
    if data.startswith((b"PK", _OLD_WORKBOOK)):
        from dictate.exchange.roster.workbook import read_workbook  # noqa: PLC0415 (slow to load)

        return read_workbook(data, sheet)
    from dictate.exchange.roster.ade_list import looks_like_ade, read_ade_list  # noqa: PLC0415

    if looks_like_ade(data):
        return read_ade_list(data)
    for start, what in _NOT_LISTS:
        if data.startswith(start):
            raise RosterError(f"is {what}", remedy="Save the list as CSV or as .xlsx")
    if sheet is not None:
        raise RosterError("is no workbook and has no sheets", remedy="Leave --sheet out")
    text, letters = decode(data, encoding=encoding, known=lambda said: _known(said, known_headings))
    if re.match(r"\s*<(!doctype html|html|table|head|body|meta)", text[:200], re.IGNORECASE):
        from dictate.exchange.roster.web_page import read_web_page  # noqa: PLC0415 (seldom)

        return read_web_page(text)
    if re.match(r"\s*<(!doctype|\?xml)", text[:200], re.IGNORECASE):
        raise RosterError(
            "is XML, whatever its name says",
            remedy="Open it in a spreadsheet and save it as .xlsx or CSV",
        )
    return _text_table(text.replace("\r\n", "\n").replace("\r", "\n"), letters, known_headings)


def _one_below_the_other(table: Table) -> Table:
    """A list printed in blocks beside each other, each with the same headings, as one below the other."""
    from dictate.exchange.roster.columns import known_headings  # noqa: PLC0415 (it reads tables)

    for at, row in enumerate(table.rows[:_LOOK]):
        heads = [text.strip() for text in row.texts]
        width = _width_of_block(heads)
        if not width or not known_headings(heads[:width]):
            continue
        blocks = -(-len(heads) // width)
        rows = [*table.rows[:at], Row(row.line, row.cells[:width], row.fault)]
        for one in table.rows[at + 1 :]:
            parts = [one.cells[first * width : (first + 1) * width] for first in range(blocks)]
            parts[-1] += one.cells[blocks * width :]
            rows += [Row(one.line, part, one.fault) for part in parts if any(map(_filled, part))]
        return Table(rows=tuple(rows), how=f"{table.how}, {blocks} blocks beside each other")
    return table


def _width_of_block(heads: Sequence[str]) -> int:
    """Columns of a block of headings that is there at least twice, and nothing else; 0 for none."""
    for width in range(1, (len(heads) + 1) // 2 + 1):
        again = [list(heads[at : at + width]) for at in range(0, len(heads), width)]
        again[-1] += [""] * (width - len(again[-1]))
        if len(again) > 1 and any(again[0]) and all(one == again[0] for one in again):
            return width
    return 0


def _filled(cell: Cell) -> bool:
    return not isinstance(cell, str) or bool(cell.strip())


def _text_table(text: str, letters: str, known: Callable[[list[str]], int]) -> Table:
    delimiter, skipped = _delimiter(text)
    if not delimiter:
        from dictate.exchange.roster.lined_up import lined_up  # noqa: PLC0415 (seldom)

        cut = lined_up(text, known)
        if cut is not None:
            filled = tuple(row for row in cut if any(cell.strip() for cell in row.texts))
            return Table(rows=filled, how=f"{letters}, columns lined up with blanks")
        delimiter = ","
    rows = tuple(_rows(text, delimiter, skipped))
    if any(len(row.cells) > COLUMNS_MAX for row in rows):
        raise RosterError(
            f"has more than {COLUMNS_MAX} columns", remedy="A list has one animal a line"
        )
    between = {"\t": "tabs"}.get(delimiter, f"{delimiter!r}")
    return Table(rows=rows, how=f"{letters}, {between} between the columns")


def _unpacked(data: bytes) -> bytes:
    """The list itself, where it was packed; a workbook is a zip too and stays one."""
    if data.startswith(b"\x1f\x8b"):
        from dictate.exchange.roster.packed import unpacked  # noqa: PLC0415 (seldom)

        data = unpacked(data)
    if data.startswith(b"PK"):
        from dictate.exchange.roster import packed  # noqa: PLC0415 (seldom)

        data = packed.list_in(data)
    return data


def _known(text: str, count: Callable[[list[str]], int]) -> int:
    """Known headings of the best line among the first."""
    lines = text.replace("\r", "\n").split("\n")[:_LOOK]
    return max((count(re.split(r"[,;\t|]", line.replace('"', ""))) for line in lines), default=0)


def _delimiter(text: str) -> tuple[str, int]:
    """What stands between the columns, and the lines to skip because they only say so.

    The delimiter that gives most rows the same number of columns, more than one; spreadsheets may
    name it themselves in a first line `sep=;`. Empty where no line has any.
    """
    if said := _HINT.fullmatch(text.partition("\n")[0]):
        return said[1], 1
    lines = [line for line in text.split("\n", 4 * _LOOK)[: 4 * _LOOK] if line.strip()][:_LOOK]
    best, most = "", (0, 0)
    for delimiter in _DELIMITERS:
        widths = Counter(width for line in lines if (width := _width(line, delimiter)) > 1)
        if widths:
            width, rows = max(widths.items(), key=lambda pair: (pair[1], pair[0]))
            if (rows, width) > most:
                best, most = delimiter, (rows, width)
    return best, 0


def _width(line: str, delimiter: str) -> int:
    try:
        return len(next(csv.reader([line], delimiter=delimiter)))
    except csv.Error:
        return 0


def _rows(text: str, delimiter: str, skipped: int) -> Iterator[Row]:
    if '"' in text:
        whole = _quoted(text, delimiter)
        rows = whole if whole is not None else list(_line_by_line(text, delimiter))
    else:
        rows = [
            Row(at, tuple(line.split(delimiter)))
            for at, line in enumerate(text.split("\n"), start=1)
        ]
    for row in rows:
        if row.line > skipped and (row.fault or any(cell.strip() for cell in row.texts)):
            yield row


def _quoted(text: str, delimiter: str) -> list[Row] | None:
    """The rows by the rules of CSV; None where a quotation mark swallows rows."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows, before = [], 0
    try:
        for cells in reader:
            if any("\n" in cell and delimiter in cell for cell in cells):
                return None
            rows.append(Row(before + 1, tuple(cells)))
            before = reader.line_num
    except csv.Error:
        return None
    return rows


def _line_by_line(text: str, delimiter: str) -> Iterator[Row]:
    """Each line for itself, so that one stray quotation mark spoils one row and not the file."""
    for at, line in enumerate(text.split("\n"), start=1):
        try:
            cells = next(csv.reader([line], delimiter=delimiter, strict=True), [])
        except csv.Error:
            yield Row(
                at,
                tuple(line.split(delimiter)),
                "a quotation mark is not closed, or stands inside a cell",
            )
        else:
            yield Row(at, tuple(cells))
