"""Tables as CSV files: UTF-8, comma, one heading line (RFC 4180)."""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from dictate.errors import StoreError
from dictate.exchange.values import Column, guarded
from dictate.record.tally import Tally
from dictate.written import written_beside

SUFFIX = ".csv"


def write_table(
    path: Path, columns: Sequence[Column], headings: Sequence[str], rows: Iterable[Sequence[Any]]
) -> int:
    """Write one table, whole or not at all; its rows. Columns past the table's own are text."""
    count = 0
    own = len(columns)
    with written_beside(path) as part, part.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\r\n")
        writer.writerow(headings)
        for row in rows:
            cells = [column.to_cell(value) for column, value in zip(columns, row, strict=False)]
            writer.writerow(cells + [guarded(value or "") for value in row[own:]])
            count += 1
    return count


def read_table(path: Path, columns: Sequence[Column]) -> Iterator[dict[str, Any]]:
    """Yield the rows of one table with the table's own columns.

    Raises:
        StoreError: a column is missing, or a cell is not of its column's type; file and line are named.
    """
    try:
        with path.open(encoding="utf-8", newline="") as file:
            reader = csv.DictReader(file, strict=True)
            missing = [
                column.name for column in columns if column.name not in (reader.fieldnames or ())
            ]
            if missing:
                raise StoreError(
                    f"lacks the columns {', '.join(missing)}",
                    where=str(path),
                    remedy="Export again",
                )
            for row in reader:
                yield {column.name: _cell(path, reader.line_num, column, row) for column in columns}
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise StoreError(
            f"cannot be read: {error}", where=str(path), remedy="Export again"
        ) from error


def _cell(path: Path, line: int, column: Column, row: dict[str, str | None]) -> Any:
    text = row[column.name]
    try:
        if text is None:
            raise ValueError("the line is too short")
        return column.from_cell(text)
    except (ValueError, KeyError, ArithmeticError, RecursionError) as error:
        raise StoreError(
            f"line {line}, {column.name}: {text!r} does not fit ({column.kind.field_type} expected)",
            where=str(path),
            remedy="Correct the cell, or export again; nothing was imported",
        ) from error


HEADINGS = ("what", "animals", "feet", "times", "price", "for each", "amount", "currency")


def tally_lines(counted: Tally) -> list[tuple[str, ...]]:
    """A row for each kind of action; empty cells where there is no price."""
    return [
        (
            guarded(line.kind), str(line.animals), str(line.feet), str(line.times),
            str(line.price.amount) if line.price else "", line.price.per if line.price else "",
            str(line.amount) if line.price else "", guarded(counted.currency),
        )
        for line in counted.lines
    ]  # fmt: skip


def tally_csv(counted: Tally) -> str:
    """The same as CSV, with headings."""
    text = io.StringIO(newline="")
    csv.writer(text).writerows([HEADINGS, *tally_lines(counted)])
    return text.getvalue()
