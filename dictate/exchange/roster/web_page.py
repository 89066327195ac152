"""The table of a web page that a herd program calls a workbook."""

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass
from html.parser import HTMLParser

from dictate.errors import RosterError
from dictate.exchange.roster.cells import COLUMNS_MAX, Row, Table


def read_web_page(text: str) -> Table:
    """Read the largest table of a page.

    Raises:
        RosterError: it has none, or a row of too many cells.
    """
    page = _Tables()
    page.feed(text)
    page.close()
    cells = max(page.tables, key=len, default=[])
    if not cells:
        raise RosterError(
            "is a web page without a table", remedy="Save the list as .xlsx or CSV once more"
        )
    rows = _laid_out(cells)
    filled = (Row(at, tuple(row)) for at, row in enumerate(rows, start=1))
    return Table(
        rows=tuple(row for row in filled if any(cell.strip() for cell in row.texts)),
        how="table of a web page",
    )


@dataclass(slots=True)
class _Cell:
    wide: int
    high: int
    text: str = ""


def _laid_out(rows: Sequence[Sequence[_Cell]]) -> list[list[str]]:
    """Texts in their columns: a cell over several columns stands in the first, one over several rows in each."""
    laid: list[list[str]] = []
    down: dict[int, _Cell] = {}
    for cells in rows:
        row: list[str] = []
        after: dict[int, _Cell] = {}
        waiting = deque(cells)
        while waiting or len(row) in down:
            cell = down.get(len(row)) or waiting.popleft()
            for text in (cell.text, *[""] * (cell.wide - 1)):
                if cell.high > 1:
                    after[len(row)] = _Cell(1, cell.high - 1, text)
                row.append(text)
            if len(row) > COLUMNS_MAX:
                raise RosterError(
                    f"has more than {COLUMNS_MAX} columns", remedy="A list has one animal a line"
                )
        down = after
        laid.append(row)
    return laid


class _Tables(HTMLParser):
    """Collects the cells; a table within a table counts for itself."""

    def __init__(self) -> None:
        super().__init__()
        self.tables: list[list[list[_Cell]]] = []
        self._open: list[list[list[_Cell]]] = []
        self._in_cell = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "table":
            self._open.append([])
            self.tables.append(self._open[-1])
            self._in_cell = False
        elif tag == "tr" and self._open:
            self._open[-1].append([])
            self._in_cell = False
        elif tag in ("td", "th") and self._open:
            if not self._open[-1]:
                self._open[-1].append([])
            said = dict(attrs)
            self._open[-1][-1].append(_Cell(_size(said.get("colspan")), _size(said.get("rowspan"))))
            self._in_cell = True
        elif tag == "br":
            self.handle_data(" ")

    def handle_endtag(self, tag: str) -> None:
        if tag in ("td", "th", "tr"):
            self._in_cell = False
        elif tag == "table" and self._open:
            self._open.pop()
            self._in_cell = False

    def handle_data(self, data: str) -> None:
        if self._in_cell and self._open and self._open[-1] and self._open[-1][-1]:
            self._open[-1][-1][-1].text += data


def _size(said: str | None) -> int:
    """How many columns or rows a cell takes."""
    said = (said or "").strip()
    return max(1, int(said)) if said.isascii() and said.isdigit() and len(said) < 5 else 1
