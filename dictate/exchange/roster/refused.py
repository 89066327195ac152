"""Rows that are not taken in: what is plainly no animal, and what is said of the others."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from dictate.exchange.roster.cells import Row, Table
from dictate.exchange.roster.columns import Columns
from dictate.exchange.roster.words import is_no_animal, is_sum

_REMARK = re.compile(r"\s*(?:#+\s*[^\W\d_]|#.*\s[^\W\d_]{2,}|//|\*\*|[-=_]{3,})")
"""A line that a script or a person put between the animals."""
_RULED = re.compile(r"[-=_+|*~\s]{5,}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """A row that was not taken in."""

    row: Row
    why: tuple[str, ...]
    animal: bool = True
    """False for a row that plainly is none: a title, a sum, the headings once more."""

    @property
    def said(self) -> str:
        return f"line {self.row.line}: {'; '.join(self.why)}"


def is_summed(row: Row) -> bool:
    """Whether a cell says that the row is a sum or a mean."""
    return any(is_sum(text) for text in row.texts if text)


def counts(row: Row, columns: Columns, animals: int) -> bool:
    """Whether its number is how many animals stand above it."""
    at = columns.column("number")
    return at is not None and at < len(row.cells) and row.texts[at].strip() == str(animals)


def rows_above(table: Table, columns: Columns) -> list[Refused]:
    """Titles and the like."""
    return [
        Refused(row=row, why=("stands above the headings",), animal=False)
        for row in table.rows[: columns.above]
    ]


def not_a_row(row: Row, heads: tuple[str, ...]) -> Refused | None:
    """What can be said of a row before its cells are read, under these `folded_cells`."""
    if row.fault:
        return Refused(row=row, why=(row.fault,))
    cells = row.texts
    if (
        heads
        and cells[0].strip().casefold() == heads[0]
        and folded_cells(cells[: len(heads)]) == heads
    ):
        return Refused(row=row, why=("is the heading line again",), animal=False)
    filled = [cell for cell in cells if cell.strip()]
    if _RULED.fullmatch("".join(filled)):
        return Refused(row=row, why=("is a ruled line",), animal=False)
    if len(filled) == 1 and _REMARK.match(filled[0]):
        return Refused(row=row, why=("is a remark",), animal=False)
    if heads and len(cells) > len(heads) and any(cell.strip() for cell in cells[len(heads) :]):
        return Refused(
            row=row,
            why=(f"has {len(row.cells)} cells under {len(heads)} headings",),
        )
    return None


def folded_cells(cells: Iterable[str]) -> tuple[str, ...]:
    """Cells without capitals and blanks around them."""
    return tuple(cell.strip().casefold() for cell in cells)


def may_be_animal(row: Row, columns: Columns) -> bool:
    """Whether a refused row holds something that names an animal."""
    texts = row.texts
    named = [
        texts[at].strip()
        for at, name in columns.fields.items()
        if name in ("number", "eid", "ear_tag") and at < len(texts)
    ]
    return any(named) and not any(is_no_animal(text) for text in texts if text)
