"""Text as a table: what stands between its columns, stray quotation marks, columns lined up with blanks."""

import csv
import io
import re
from collections import Counter
from collections.abc import Iterator, Sequence

from dictate.errors import RosterError
from dictate.exchange.roster.cells import COLUMNS_MAX, Row, Table
from dictate.exchange.roster.heading_rows import known_headings
from dictate.texts import noted

_DELIMITERS = ",;\t|"
_BETWEEN = {",": noted("commas"), ";": noted("semicolons"), "\t": noted("tabs"), "|": noted("bars")}
_USUAL = "UTF-8"
"""Letters that nobody needs to be told of."""
_LOOK = 60
"""Lines that are looked at to find what stands between the columns."""
_HINT = re.compile(r"sep=(.)\s*", re.IGNORECASE)
_PAGES = re.compile(r"^\f+", re.MULTILINE)
"""A printer's sign for a new page, before its first line."""
_RULER = re.compile(r"\s*[-=_]{2,}(?:\s+[-=_]{2,})+\s*")
"""Strokes below the headings, one run for each column."""
_STROKES = re.compile(r"[-=_]+")
_WORD = re.compile(r"\S+(?: \S+)*")
"""One heading of columns that are lined up with blanks: two blanks or more end it."""


def read_text_table(text: str, letters: str) -> Table:
    """Read text with plain line ends; `letters` says for people how it was decoded.

    Raises:
        RosterError: it has too many columns.
    """
    text = _unwrapped(_PAGES.sub("", text))
    delimiter, skipped = _delimiter(text)
    cut = _lined_up(text, delimiter)
    if cut is not None:
        filled = tuple(row for row in cut if any(cell.strip() for cell in row.texts))
        return Table(rows=filled, how=f"{letters}, columns lined up with blanks")
    delimiter = delimiter or ","
    rows = tuple(_rows(text, delimiter, skipped))
    if any(len(row.cells) > COLUMNS_MAX for row in rows):
        raise RosterError(
            f"has more than {COLUMNS_MAX} columns", remedy="A list has one animal a line"
        )
    between = _BETWEEN.get(delimiter, repr(delimiter))
    how = f"text with {between} between the columns"
    if letters != _USUAL:
        how = f"{letters}, {between} between the columns"
    return Table(rows=rows, how=how)


def _unwrapped(text: str) -> str:
    """A list whose every line was once more put into quotation marks, as it was before."""
    lines = text.split("\n")
    if not lines[0].startswith('"') or not lines[0].rstrip().endswith('"'):
        return text
    whole = []
    for line in lines:
        try:
            cells = next(csv.reader([line], strict=True), []) if line.strip() else [""]
        except csv.Error:
            return text
        if len(cells) != 1 or (line.strip() and not line.startswith('"')):
            return text
        whole.append(cells[0])
    return "\n".join(whole) if _delimiter(whole[0])[0] else text


def _lined_up(text: str, delimiter: str) -> list[Row] | None:
    """A printout whose columns are lined up with blanks; None where no line holds known headings.

    Headings with the delimiter between them are none; a comma in a remark below them is no matter.
    Each line is cut below the places of the headings. A line with a word across two
    columns is a fault of that row: nobody can say which column it is.
    """
    lines = text.split("\n")
    for at, line in enumerate(lines[:_LOOK]):
        if delimiter and delimiter in line:
            continue
        below = lines[at + 1] if at + 1 < len(lines) else ""
        ruled = _RULER.fullmatch(below) is not None
        heads = list((_STROKES if ruled else _WORD).finditer(below if ruled else line))
        names = _above(line, heads) if ruled else tuple(head[0] for head in heads)
        if len(heads) > 1 and known_headings(names) > 1:
            starts = [head.start() for head in heads]
            return [
                Row(number, names)
                if one == line
                else _cut(one, number, starts)
                if number > at
                else Row(number, (one.strip(),))
                for number, one in enumerate(lines, start=1)
            ]
    return None


def _above(line: str, runs: Sequence[re.Match[str]]) -> tuple[str, ...]:
    """The words of a line, each with the run of strokes that it stands over for the most part."""
    names = [""] * len(runs)
    for word in re.finditer(r"\S+", line):
        over = [min(word.end(), run.end()) - max(word.start(), run.start()) for run in runs]
        at = over.index(max(over))
        names[at] = f"{names[at]} {word[0]}".strip()
    return tuple(names)


def _cut(line: str, number: int, starts: list[int]) -> Row:
    ends = [*starts[1:], max(len(line), starts[-1])]
    cells = tuple(
        line[start:end].strip() for start, end in zip([0, *starts[1:]], ends, strict=True)
    )
    across = any(
        start <= len(line) and line[start - 1 : start].strip() and line[start : start + 1].strip()
        for start in starts[1:]
    )
    return Row(number, cells, "a word stands across two columns" if across else "")


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
