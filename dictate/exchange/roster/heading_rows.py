"""The row, or the two rows, that say what the columns are; and what one heading means."""

import re
from collections.abc import Iterable, Mapping, Sequence
from itertools import zip_longest

from dictate.exchange.roster.cells import Row, Table
from dictate.exchange.roster.columns import LEFT_OUT, ROSTER, Kind
from dictate.exchange.roster.ways_to_leave import way_of
from dictate.exchange.roster.words import loose_key, same_key

_LOOK = 60
"""Rows among which the headings are looked for."""
_BRACKETS = re.compile(r"[(\[].*?[)\]]")
_COUNTED = re.compile(r"[\s.#_]*[1-9]\s*$")
"""The end of a heading that is there several times: `Lesion 2`, `Lesion.1`."""


def known_headings(
    cells: Iterable[str], kept: Mapping[str, str] | None = None, kind: Kind = ROSTER
) -> int:
    """How many cells are known headings; 0 when that is too little to be a row of headings."""
    # `sold` and `Kuh` stand in rows of animals too, and `no` under several headings of one.
    found = [
        name
        for cell in cells
        if not (kind.leaves and way_of(cell)) and (name := meaning_of(cell, kept or {}, kind))
    ]
    several = sum(name in kind.repeated for name in found)
    once = set(found) - kind.repeated
    return several + len(once) if kind.signs & set(found) or len(set(found)) > 1 else 0


def heading_row(
    table: Table, given: Mapping[str, tuple[str, ...]], kept: Mapping[str, str], kind: Kind
) -> int | None:
    """The row with most known headings; else a first row that is no animal."""
    said = {where.strip() for wheres in given.values() for where in wheres} - {LEFT_OUT}
    named = {same_key(where) for where in said if not is_place(where)}
    best, most = None, 0
    for at, row in enumerate(table.rows[:_LOOK]):
        found = known_headings(row.texts, kept, kind)
        # A row that holds every heading that a person named is the heading row.
        found += len(named & {same_key(cell) for cell in row.texts if cell.strip()}) * 100
        if found > most:
            best, most = at, found
    if best is None and table.rows and not holds_digits(table.rows[0]):
        return 0
    return best


def heads_of_two_rows(
    table: Table, row: int, kept: Mapping[str, str], kind: Kind
) -> tuple[str, ...] | None:
    """Headings broken over two rows, `Cow` above `No.`; None where the row below tells nothing more."""
    if row + 1 >= len(table.rows) or table.rows[row + 1].line != table.rows[row].line + 1:
        return None
    upper, lower = table.rows[row].texts, table.rows[row + 1].texts
    if holds_digits(table.rows[row + 1]):
        return None
    heads, over = [], ""
    for one, other in zip_longest(map(str.strip, upper), map(str.strip, lower), fillvalue=""):
        # A heading over several columns stands above the first of them.
        spread = f"{over} {other}" if over and other and not one else ""
        over = one or over
        both = f"{one} {other}".strip()
        said = (spread, both, other, one)
        heads.append(next((head for head in said if meaning_of(head, kept, kind)), both))
    found = [meaning_of(one, kept, kind) for one in heads]
    alone = [[meaning_of(one, kept, kind) for one in each] for each in (upper, lower)]
    return tuple(heads) if all(_tell_more(found, known, kind) for known in alone) else None


def _tell_more(both: Sequence[str | None], one: Sequence[str | None], kind: Kind) -> bool:
    """Whether two rows of headings mean more than one of them; each a field, or None, for each column."""
    now, before = set(both) - {None}, set(one) - {None}
    # `Left hind` over `DD` and `SU` is no longer of the foot alone.
    if not now >= before - kind.never_alone:
        return False
    # `LH` over `outer` and `inner` is two columns where it was one.
    more = sum(name in kind.repeated for name in both) > sum(name in kind.repeated for name in one)
    return bool(now - before) or more


def is_place(where: str) -> bool:
    """Whether a column is named by its place, from 1."""
    return where.strip().isascii() and where.strip().isdigit()


def holds_digits(row: Row) -> bool:
    return any(any(letter.isdigit() for letter in cell) for cell in row.texts)


def meaning_of(heading: str, kept: Mapping[str, str], kind: Kind) -> str | None:
    """The field of a heading; `(dd/mm/yyyy)` and the like after it do not matter."""
    if not heading or len(heading) > 80:
        return None
    for said in (heading, _BRACKETS.sub(" ", heading)):
        key = same_key(said)
        if key and kept.get(key) == LEFT_OUT:
            return None
        if key and (found := kept.get(key) or kind.meanings().get(key)):
            return found
        if found := kind.reads(said):
            return found
    if found := kind.meanings().get(loose_key(_BRACKETS.sub(" ", heading))):
        return found
    if kind.leaves and way_of(heading):
        return kind.leaves
    counted = kind.meanings().get(same_key(_COUNTED.sub("", heading)))
    if counted in kind.repeated:
        return counted
    # Two languages in one heading, `Kuh / Cow`, when both mean the same.
    parts = [same_key(part) for part in re.split(r"[/|\n]", heading)]
    meant = {kind.meanings().get(part) for part in parts if part}
    return meant.pop() if len(parts) > 1 and len(meant) == 1 else None
