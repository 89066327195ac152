"""The table of a web page that a herd program calls a workbook."""

from html.parser import HTMLParser

from dictate.errors import RosterError
from dictate.exchange.roster.cells import COLUMNS_MAX, Row, Table


def read_web_page(text: str) -> Table:
    """Read the largest table of a page.

    Raises:
        RosterError: it has none, or cells over several rows, beside which no place is sure.
    """
    page = _Tables()
    page.feed(text)
    page.close()
    rows = max(page.tables, key=len, default=[])
    if not rows:
        raise RosterError(
            "is a web page without a table", remedy="Save the list as .xlsx or CSV once more"
        )
    if page.high:
        raise RosterError(
            "has cells that go over several rows",
            remedy="Open it in a spreadsheet, part those cells and save it as .xlsx or CSV",
        )
    if any(len(row) > COLUMNS_MAX for row in rows):
        raise RosterError(
            f"has more than {COLUMNS_MAX} columns", remedy="A list has one animal a line"
        )
    filled = (Row(at, tuple(row)) for at, row in enumerate(rows, start=1))
    return Table(
        rows=tuple(row for row in filled if any(cell.strip() for cell in row.texts)),
        how="table of a web page",
    )


class _Tables(HTMLParser):
    """Collects the cells; a table within a table counts for itself."""

    def __init__(self) -> None:
        super().__init__()
        self.tables: list[list[list[str]]] = []
        self._open: list[list[list[str]]] = []
        self._in_cell = False
        self._wide = 1
        self.high = False
        """Whether a cell goes over several rows, so that others are not under their headings."""

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
            self._open[-1][-1].append("")
            self._in_cell = True
            self.high |= (dict(attrs).get("rowspan") or "1").strip() not in ("0", "1")
            wide = dict(attrs).get("colspan") or "1"
            if wide.isascii() and wide.isdigit() and 1 < int(wide[:4]) <= COLUMNS_MAX:
                self._open[-1][-1] += [""] * (int(wide[:4]) - 1)
                self._wide = int(wide[:4])
            else:
                self._wide = 1
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
            row = self._open[-1][-1]
            row[-self._wide] += data
