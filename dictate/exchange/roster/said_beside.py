"""What a list says outside its columns of who left: a line `Sold` above rows, `sold 12/1` as a remark."""

import re
from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

from dictate.exchange.roster.cells import Row, Table
from dictate.exchange.roster.columns import Columns
from dictate.exchange.roster.ways_to_leave import Way, leaving_lists, way_of
from dictate.exchange.roster.words import folded, is_empty, leaving_words, same_key
from dictate.store.states import AnimalStatus

_BESIDE = re.compile(r"[(\[].*?[)\]]|\b\d[\d./\-]*|[:.,;!]")
"""A day, an amount or a remark beside the word."""


Group = tuple[str, AnimalStatus | None]
"""A line above rows, and what it surely says of them."""


class Beside:
    """What is said of the rows of one list outside its columns."""

    def __init__(self, table: Table, columns: Columns) -> None:
        self._columns = columns
        self._groups = _groups_that_left(table, columns)
        self._remarks = _remark_columns(columns)

    def take(self, row: Row, cells: dict[str, Any]) -> list[str]:
        """Take into the values of a row what the line above it says; why it has to wait for that, or for a remark."""
        said, status = self._groups.get(row.line, ("", None))
        if status:
            cells["status"] = status
            return []
        waits = "say in a column of her status whether she is there"
        if said:
            return [f"stands below {said!r}: {waits}"]
        for at in self._remarks:
            text = row.texts[at].strip() if at < len(row.cells) else ""
            way = None if is_empty(text) else _way_at_start(text, alone=True)
            if way and way.yes and not way.only_planned:
                return [f"has {text!r} under {self._columns.heading(at)!r}: {waits}"]
        return []


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
            way = _way_at_start(said)
            left = way and way.yes
            exact = way_of(_BESIDE.sub(" ", said)) is not None and not (way and way.only_planned)
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
    return filled[0] if folded(_BESIDE.sub(" ", filled[0])) else ""


def _remark_columns(columns: Columns) -> Sequence[int]:
    """The columns of remarks, and those without a heading; none of them is taken."""
    if not columns.headings:
        return ()
    return [
        at
        for at in range(max(columns.width, len(columns.headings)))
        if at not in columns.fields
        and at not in columns.eid_parts
        and (at >= len(columns.headings) or _is_remark(columns.headings[at]))
    ]


def _is_remark(heading: str) -> bool:
    return not heading.strip() or same_key(heading) in _remarks()


@cache
def _remarks() -> frozenset[str]:
    return frozenset(same_key(heading) for heading in leaving_words()["remarks"])


def _way_at_start(text: str, *, alone: bool = False) -> Way | None:
    """The way to leave with which words begin; `alone`: with nothing behind it but where she went."""
    said = _BESIDE.sub(" ", text)
    words = folded(said).split()
    if not words:
        return None
    if found := way_of(said):
        return found
    if alone and (len(words) < 2 or words[1] not in leaving_lists()["goes_to"]):
        return None
    return way_of(words[0])
