"""What a list says outside its columns of who left: a line `Sold` above rows, `sold 12/1` as a remark."""

from collections.abc import Mapping, Sequence
from typing import Any

from dictate.exchange.roster.cells import Row, Table
from dictate.exchange.roster.columns import Columns
from dictate.exchange.roster.ways_to_leave import may_have_left, way_at_start, way_of
from dictate.exchange.roster.words import BESIDE, folded, is_empty, is_remark
from dictate.store.states import AnimalStatus

Group = tuple[str, AnimalStatus | None]
"""A line above rows, and what it surely says of them."""


class Beside:
    """What is said of the rows of one list outside its columns."""

    def __init__(self, table: Table, columns: Columns) -> None:
        self._columns = columns
        self._groups = _groups_that_left(table, columns)
        self._remarks = _remark_columns(columns)
        self.unsure: dict[int, str] = {}
        """Line of a row that was taken to its remark with a word for leaving somewhere in it."""

    def take(self, row: Row, cells: dict[str, Any]) -> list[str]:
        """Take into the values of a row what the line above it says; why it has to wait for that, or for a remark."""
        said, status = self._groups.get(row.line, ("", None))
        if status:
            cells["status"] = status
            return []
        waits = "say in a column of her status whether she is there"
        if said:
            return [f"stands below {said!r}: {waits}"]
        texts = row.texts
        for at in self._remarks:
            text = texts[at].strip() if at < len(texts) else ""
            if text and _gone(text):
                return [f"has {text!r} under {self._columns.heading(at)!r}: {waits}"]
            if text and may_have_left(text):
                self.unsure[row.line] = text
        for text in row.comments:
            if _gone(text):
                return [f"has a comment {text!r}: {waits}"]
            if may_have_left(text):
                self.unsure[row.line] = text
        return []


def _gone(text: str) -> bool:
    """Whether words begin with how an animal left, and it is no plan."""
    way = None if is_empty(text) else way_at_start(text, alone=True)
    return way is not None and way.yes is not None and not way.only_planned


def _groups_that_left(table: Table, columns: Columns) -> Mapping[int, Group]:
    """Each line below a line that says of a group that it left, with that line.

    The status is None where the line says more than the word, so that nobody knows of whom: `Sold this
    year and later back`.
    """
    found: dict[int, Group] = {}
    group: Group | None = None
    number = columns.column("number") or 0
    for at, row in enumerate(table.rows):
        if said := _group(row, number):
            way = way_at_start(said)
            left = way and way.yes
            exact = way_of(BESIDE.sub(" ", said)) is not None and not (way and way.only_planned)
            group = (said, left if exact else None) if left else None
        elif group and at >= columns.start:
            found[row.line] = group
    return found


def _group(row: Row, number: int) -> str:
    """The only words of a row, where an animal would have its number; empty for a row that is no line of a group."""
    text = row.cells[number] if number < len(row.cells) else ""
    if isinstance(text, str) and any(map(str.isdigit, text)) and not text[0].isalpha():
        return ""  # a quick look: most rows are animals
    filled = [text.strip() for text in row.texts if text.strip()]
    named = [*row.texts[:1], *row.texts[number : number + 1]]
    if len(filled) != 1 or filled[0] not in (one.strip() for one in named):
        return ""
    return filled[0] if folded(BESIDE.sub(" ", filled[0])) else ""


def _remark_columns(columns: Columns) -> Sequence[int]:
    """The columns of remarks, and those without a heading; none of them is taken."""
    if not columns.headings:
        return ()
    return [
        at
        for at in range(max(columns.width, len(columns.headings)))
        if at not in columns.fields
        and at not in columns.eid_parts
        and (at >= len(columns.headings) or is_remark(columns.headings[at]))
    ]
