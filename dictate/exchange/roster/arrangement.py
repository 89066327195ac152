"""Several tables on one sheet as one: beside each other, or below each other with other headings."""

from collections.abc import Sequence
from dataclasses import replace

from dictate.exchange.roster.cells import Cell, Row, Table
from dictate.exchange.roster.columns import ROSTER
from dictate.exchange.roster.heading_rows import known_headings, meaning_of
from dictate.exchange.roster.words import same_key

_LOOK = 60
"""Rows that are looked at to find headings."""


def one_below_the_other(table: Table) -> Table:
    """A list printed in blocks beside each other, each with the same headings, as one below the other."""
    for at, row in enumerate(table.rows[:_LOOK]):
        heads = [text.strip() for text in row.texts]
        width = _width_of_block(heads)
        if not width or not known_headings(heads[:width]):
            continue
        blocks = -(-len(heads) // width)
        rows = [*table.rows[:at], replace(row, cells=row.cells[:width])]
        for one in table.rows[at + 1 :]:
            parts = [one.cells[first * width : (first + 1) * width] for first in range(blocks)]
            parts[-1] += one.cells[blocks * width :]
            rows += [replace(one, cells=part) for part in parts if any(map(_filled, part))]
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


def in_one_order(table: Table) -> Table:
    """Rows below a second row of headings, moved below those of the first that mean the same.

    A farm writes its groups below each other, and not always in the same order. A column that only
    the second table has goes to the right, so that nothing of it is lost.
    """
    counts = [known_headings(row.texts) for row in table.rows[:_LOOK]]
    if max(counts, default=0) < 2:
        return table
    first = counts.index(max(counts))
    heads = list(table.rows[first].cells)
    keys = [_key(str(cell)) for cell in heads]
    number = next((at for at, key in enumerate(keys) if key == "number"), 0)
    rows, places, begun = list(table.rows[: first + 1]), None, False
    for row in table.rows[first + 1 :]:
        if not _may_head(row, number):
            begun = True  # headings may go on in a second row, but not below an animal
        elif begun and known_headings(row.texts) > 1:
            own = [_key(text) for text in row.texts]
            if own == keys[: len(own)]:
                places = None
            else:
                fresh = [at for at, key in enumerate(own) if key and key not in keys]
                heads += [row.cells[at] for at in fresh]
                keys += [own[at] for at in fresh]
                places = [keys.index(key) if key else None for key in own]
                rows.append(replace(row, cells=tuple(heads)))
                continue
        rows.append(row if places is None else _moved(row, places, len(heads)))
    if len(heads) > len(rows[first].cells):
        rows[first] = replace(rows[first], cells=tuple(heads))
    return replace(table, rows=tuple(rows))


def _key(heading: str) -> str:
    """Equal for headings of the same field, or of the same words."""
    return meaning_of(heading, {}, ROSTER) or same_key(heading)


def _may_head(row: Row, number: int) -> bool:
    """A quick look: where an animal has its number, headings hold a word."""
    text = row.texts[number] if number < len(row.cells) else ""
    return bool(text) and not any(letter.isdigit() for letter in text)


def _moved(row: Row, places: Sequence[int | None], width: int) -> Row:
    """A cell beyond the headings stays beyond them, where it is refused with its row."""
    cells: list[Cell] = [""] * width
    for at, cell in enumerate(row.cells):
        place = places[at] if at < len(places) else None
        if place is not None:
            cells[place] = cell
        elif _filled(cell):
            cells.append(cell)
    return replace(row, cells=tuple(cells))
