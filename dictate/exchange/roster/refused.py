"""Rows that are not taken in: which, why, and the file in which they are mended."""

import csv
import io
import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from dictate.errors import RosterError
from dictate.exchange.roster.cells import Row, Table
from dictate.exchange.roster.columns import FIELDS, Columns
from dictate.exchange.roster.words import (
    folded,
    headings,
    is_group,
    is_no_animal,
    is_remark,
    is_sum,
    same_key,
    status_word,
)
from dictate.store.roster_lines import RosterLine, tag_key
from dictate.store.states import AnimalStatus

_REMARK = re.compile(r"\s*(?:#+\s*[^\W\d_]|#.*\s[^\W\d_]{2,}|//|\*\*|[-=_]{3,})")
"""A line that a script or a person put between the animals."""
_WORDS = re.compile(r"[^\W\d_]+(?:\W+[^\W\d_]+){3,}\W*")
"""Four words or more and no figure: nobody's number."""
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
    if len(filled) == 1 and (status_word(filled[0]) or (len(heads) > 1 and is_group(filled[0]))):
        return Refused(row=row, why=("is the line above a group",), animal=False)
    if len(filled) == 1 and len(heads) > 1 and _WORDS.fullmatch(filled[0].strip()):
        return Refused(row=row, why=("is a line of words",), animal=False)
    if (
        heads
        and len(cells) > len(heads)
        and any(cell.strip() for cell in cells[len(heads) :])
        and not _is_remark_with_commas(cells, heads)
    ):
        return Refused(
            row=row,
            why=(f"has {len(row.cells)} cells under {len(heads)} headings",),
        )
    return None


def _is_remark_with_commas(cells: Sequence[str], heads: Sequence[str]) -> bool:
    """Whether only the remark at the end was parted: behind a comma of words stands a blank, before it none."""
    last = len(heads) - 1
    blanks = [cell[:1] == " " for cell in cells if cell.strip()]
    return (
        is_remark(heads[last])
        and bool(cells[last].strip())
        and all(cell[:1] == " " or not cell for cell in cells[last + 1 :])
        and sum(blanks) == len([cell for cell in cells[last + 1 :] if cell.strip()])
    )


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
    return any(named) and not any(
        is_no_animal(text) or (text in named and is_group(text)) for text in texts if text
    )


def of_other_farms(table: Table, columns: Columns, farm: str | None) -> Mapping[int, str]:
    """The lines that are not of the farm that a list is taken in for, and why.

    A column names the farm of each row, or a line of its own ("Farm: Hillside") that of the rows below
    it. One name in the whole list is that of the farm, however it is spelt.

    Raises:
        RosterError: the list names several farms, and none of them so.
    """
    rows = table.rows[columns.start :]
    if (at := columns.column("farm")) is None:
        named = _below_farms(table)[columns.start :]
    else:
        named = [(row, row.texts[at].strip()) for row in rows if at < len(row.cells)]
    counts = Counter(
        name
        for row, name in named
        if name and may_be_animal(row, columns) and any(map(str.isdigit, "".join(row.texts)))
    )
    if len({folded(name) for name in counts}) < 2:
        return {}
    mine = folded(farm or "")
    if mine not in map(folded, counts):
        some = ", ".join(f"{name!r} ({count})" for name, count in counts.most_common(5))
        raise RosterError(
            f"the list holds several farms: {some}",
            remedy="Take it in for one of them by that name, or leave the column out (--column farm=-)",
        )
    return {
        row.line: f"is of another farm, {name!r}" if name else "names no farm, as others do"
        for row, name in named
        if folded(name) != mine
    }


def _below_farms(table: Table) -> list[tuple[Row, str]]:
    """Each row with the farm that the last line of farms above it names; empty before the first."""
    named, name = [], ""
    for row in table.rows:
        filled = [text.strip() for text in row.texts if text.strip()]
        word, _, said = ": ".join(filled).partition(":") if len(filled) < 3 else ("", "", "")
        said = said.strip(" :")
        if said and headings().get(same_key(word)) == "farm" and same_key(said) not in headings():
            name = said
        named.append((row, name))
    return named


def doubled(lines: Sequence[RosterLine], rows: Sequence[Row]) -> tuple[list[int], list[Refused]]:
    """Rows to keep; of rows that name one animal twice, none is kept unless they say the same."""
    why: dict[int, list[str]] = {}
    same: dict[int, int] = {}
    for field in ("number", "eid", "ear_tag"):
        places: dict[str, list[int]] = {}
        for at, line in enumerate(lines):
            if (value := getattr(line, field)) and (
                field != "number" or line.status in (None, AnimalStatus.PRESENT)
            ):
                key = tag_key(value) if field == "ear_tag" else value.casefold()
                places.setdefault(key, []).append(at)
        for value, found in places.items():
            if len(found) == 1:
                continue
            first = found[0]
            if all(lines[at] == lines[first] for at in found[1:]):
                same.update((at, first) for at in found[1:])
                continue
            there = ", ".join(str(rows[at].line) for at in found[:10])
            said = getattr(lines[first], field) or value
            for at in found:
                why.setdefault(at, []).append(
                    f"{FIELDS[field].partition(',')[0]} {said} stands on several lines: {there}"
                )
    refused = [Refused(row=rows[at], why=tuple(said)) for at, said in why.items()]
    refused += [
        Refused(row=rows[at], why=(f"says the same as line {rows[first].line}",), animal=False)
        for at, first in same.items()
        if at not in why
    ]
    gone = set(why) | set(same)
    return [at for at in range(len(lines)) if at not in gone], refused


_RUNS = ("=", "+", "-", "@", "\t")
"""A spreadsheet would work out a cell that begins so; the reader takes the quote away again."""


def write_refused(refused: Sequence[Refused], columns: Columns) -> str:
    """Return CSV text with the file's own headings, and what is wrong in front of each row."""
    width = max([columns.width, len(columns.headings), *(len(one.row.cells) for one in refused)])
    names = [columns.heading(at) for at in range(width)]
    out = io.StringIO()
    writer = csv.writer(out, delimiter=";", lineterminator="\r\n")
    writer.writerow(["line in the file", "what is wrong", *names])
    for one in refused:
        cells = [f"'{cell}" if cell.startswith(_RUNS) else cell for cell in one.row.texts]
        cells += [""] * (width - len(cells))
        writer.writerow([one.row.line, "; ".join(one.why), *cells])
    return "\ufeff" + out.getvalue()
