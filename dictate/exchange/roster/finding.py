"""Which column of a table is what: by headings that are known, or as a person says; never guessed."""

import re
from collections.abc import Collection, Mapping, Sequence

from dictate.entry.wording import counted
from dictate.errors import RosterError
from dictate.exchange.roster.cells import Cell, Row, Table
from dictate.exchange.roster.columns import LEFT_OUT, ROSTER, Columns, Kind
from dictate.exchange.roster.heading_rows import (
    heading_row,
    heads_of_two_rows,
    is_place,
    meaning_of,
)
from dictate.exchange.roster.leaving import is_other
from dictate.exchange.roster.ways_to_leave import leaving_lists
from dictate.exchange.roster.words import (
    folded,
    is_country,
    is_empty,
    is_no,
    is_no_animal,
    is_yes,
    same_key,
    status_word,
)

_OURS = frozenset({same_key("what is wrong"), same_key("line in the file")})
"""Headings of a file of refused rows; they come back with it."""
_ASKS = "{}: {!r} may say which animals have left"
_MOST = 0.7
_SPOKEN_MAX = 8
"""Digits of a number that people say at the chute."""


def find_columns(
    table: Table,
    *,
    given: Mapping[str, str | tuple[str, ...]] | None = None,
    at: Mapping[int, str] | None = None,
    kept: Mapping[str, str] | None = None,
    kind: Kind = ROSTER,
) -> Columns:
    """Find out what the columns mean.

    Args:
        table: The file.
        given: Field to heading or place ("2"), or several where the kind of list allows it, as said
            by a person; `-` leaves the field out.
        at: Column, from 0, to field, as chosen on the page; nothing else is then taken.
        kept: What was said for an earlier file of the farm.
        kind: What the list holds.

    Raises:
        RosterError: a field or a heading that was named is not there.
    """
    said = {
        name: (where,) if isinstance(where, str) else where for name, where in (given or {}).items()
    }
    kept = kept or {}
    for name in said:
        if name not in kind.fields:
            raise RosterError(
                f"there is no field {name!r}", remedy=f"The fields are: {', '.join(kind.fields)}"
            )
    row = heading_row(table, said, kept, kind)
    heads = table.rows[row].texts if row is not None else ()
    start = 0 if row is None else row + 1
    if row is not None and (below := heads_of_two_rows(table, row, kept, kind)):
        heads, start = below, start + 1
    elif row and (both := heads_of_two_rows(table, row - 1, kept, kind)):
        heads = both  # the lower row alone has more known headings than the upper one
    width = max((len(one.cells) for one in table.rows[start:]), default=0)
    named = {
        _place(where, heads, width): name
        for name, wheres in said.items()
        for where in wheres
        if where != LEFT_OUT
    }
    problems: list[str] = []
    doubts: list[str] = []
    not_meant: tuple[str, ...] = ()
    if at is not None:
        fields = dict(at)
        doubt = _may_have_left(fields, heads, kept, table.rows[start:], kind)
        doubts = [_ASKS.format(name, key) for name, key in doubt]
    else:
        fields, problems = _by_heading(heads, kept, width, kind, but_not=named)
        fields |= _cut_short({**fields, **named}, heads, table.rows[start:], kind)
        fields = _marks_only(fields, heads, table.rows[start:], kind)
        doubt = _may_have_left({**fields, **named}, heads, kept, table.rows[start:], kind)
        not_meant = tuple(key for name, key in doubt if LEFT_OUT in said.get(name, ()))
        problems += [_ASKS.format(name, key) for name, key in doubt]
    for name, wheres in said.items():
        if name not in kind.added or LEFT_OUT in wheres:
            fields = {column: found for column, found in fields.items() if found != name}
        problems = [problem for problem in problems if not problem.startswith(f"{name}: ")]
    fields |= named
    plain = kind is ROSTER and not heads and not fields and at is None and width == 1
    if plain and _is_plain(table.rows):
        fields = {0: "number"}
    problems += _problems(fields, heads, table.rows, kind)
    if _is_turned(fields, heads, table.rows[start:], kind):
        problems.append(
            "number: each animal has a column of its own: turn the list by a quarter"
            " (copy it, and paste it transposed)"
        )
    parts = _eid_parts(fields, heads, table.rows[start:])
    return Columns(
        fields=fields,
        headings=tuple(heads),
        start=start,
        above=row or 0,
        width=width,
        problems=tuple(problems),
        doubts=tuple(asks.partition(": ")[2] for asks in doubts),
        not_meant=not_meant,
        left_out=_left_out({*fields, *parts}, heads, table.rows[start:]),
        eid_parts=parts,
    )


def _marks_only(
    fields: Mapping[int, str], heads: Sequence[str], rows: Sequence[Row], kind: Kind
) -> dict[int, str]:
    """The fields without those whose heading may say who is there, and whose cells do not."""
    return {
        at: name
        for at, name in fields.items()
        if name != kind.leaves
        or at >= len(heads)
        or not is_other(heads[at], (row.cells[at] for row in rows if at < len(row.cells)))
    }


def _cut_short(
    fields: Mapping[int, str], heads: Sequence[str], rows: Sequence[Row], kind: Kind
) -> dict[int, str]:
    """The fields of headings that were cut short: where no other column has the field, and only one may."""
    found: dict[str, list[int]] = {}
    for at, heading in enumerate(heads):
        if at not in fields and (name := kind.shortened(heading)):
            found.setdefault(name, []).append(at)
    return {
        places[0]: name
        for name, places in found.items()
        if name not in fields.values()
        and len(places) == 1
        and not (name == "number" and _are_long(places[0], rows))
    }


def _are_long(at: int, rows: Sequence[Row]) -> bool:
    """Whether a column holds numbers too long to be spoken: `ID` may be the electronic one."""
    texts = (row.texts[at] for row in rows if at < len(row.cells))
    return any(sum(map(str.isdigit, text)) > _SPOKEN_MAX for text in texts)


def _may_have_left(
    fields: Mapping[int, str],
    heads: Sequence[str],
    kept: Mapping[str, str],
    rows: Sequence[Row],
    kind: Kind,
) -> list[tuple[str, str]]:
    """Columns such as `Out` with days, crosses or a yes below, or of states with unknown codes: field and heading."""
    if kind.leaves is None or kind.leaves in fields.values():
        return []
    for at, heading in enumerate(heads):
        if at in fields or not heading.strip() or kept.get(same_key(heading)) == LEFT_OUT:
            continue
        cells = [row.cells[at] for row in rows if at < len(row.cells)]
        filled = [cell for cell in cells if not (isinstance(cell, str) and is_empty(cell.strip()))]
        doubtful = folded(heading) in leaving_lists()["doubtful"]
        if doubtful and filled and all(_is_day_or_mark(cell) for cell in filled):
            return [(kind.leaves, heading.strip())]
        if "status" not in fields.values() and _are_statuses(filled):
            return [("status", heading.strip())]
    return []


def _are_statuses(cells: Sequence[Cell]) -> bool:
    """Whether most cells say what a cow is doing, in several words, and some say what nobody knows."""
    texts = [cell for cell in cells if isinstance(cell, str)]
    known = [word for text in texts if (word := folded(text)) and status_word(text)]
    return len(set(known)) > 2 and _MOST * len(texts) <= len(known) < len(texts)


def _is_day_or_mark(cell: Cell) -> bool:
    return (
        not isinstance(cell, str)
        or sum(map(str.isdigit, cell)) > 2
        or is_yes(cell)
        or is_no(cell)
        or len(cell.strip()) == 1
    )


def _eid_parts(
    fields: Mapping[int, str], heads: Sequence[str], rows: Sequence[Row]
) -> tuple[int, ...]:
    """The columns of an electronic number in parts: a country's before it, or some without headings."""
    at = next((place for place, name in fields.items() if name == "eid"), None)
    if at is None or not heads:
        return ()
    parts = [at]
    if at and at - 1 not in fields and is_country(heads[at - 1]):
        parts.insert(0, at - 1)
    width = max((len(row.cells) for row in rows), default=0)
    while (
        (after := parts[-1] + 1) < width
        and after not in fields
        and not (after < len(heads) and heads[after].strip())
    ):
        parts.append(after)
    joined = [
        "".join(re.sub(r"\s", "", row.texts[part]) for part in parts if part < len(row.cells))
        for row in rows
        if at < len(row.cells) and row.texts[at].strip()
    ]
    whole = [text for text in joined if re.fullmatch(r"\d{15}", text, re.ASCII)]
    # A sum at the end may be none; a column that holds whole numbers by itself is never joined.
    alone = sum(1 for row in rows if at < len(row.cells) and len(row.texts[at].strip()) >= 15)
    return tuple(parts) if len(parts) > 1 and not alone and 2 * len(whole) > len(joined) else ()


def _is_turned(
    fields: Mapping[int, str], heads: Sequence[str], rows: Sequence[Row], kind: Kind
) -> bool:
    """Whether the animals' numbers head the columns, and none stands under their heading."""
    at = next((place for place, name in fields.items() if name == "number"), None)
    if kind is not ROSTER or at is None or not rows:
        return False
    others = [head for place, head in enumerate(heads) if place != at and head.strip()]
    under = [row.texts[at] for row in rows if at < len(row.cells)]
    return (
        len(others) > 1
        and all(any(letter.isdigit() for letter in head) for head in others)
        and not any(letter.isdigit() for text in under for letter in text)
    )


def _by_heading(
    heads: Sequence[str],
    kept: Mapping[str, str],
    width: int,
    kind: Kind,
    *,
    but_not: Collection[int],
) -> tuple[dict[int, str], list[str]]:
    """What the headings say of the columns, but for those of which a person said it."""
    fields: dict[int, str] = {}
    if heads:
        for at, heading in enumerate(heads):
            if at not in but_not and (name := meaning_of(heading, kept, kind)):
                fields[at] = name
    else:
        places = {int(key[1:]) - 1: name for key, name in kept.items() if key[:1] == "#"}
        if places and max(places) < width:
            fields = places
    short = [at for at, name in fields.items() if name in kind.never_alone]
    if heads and len(short) == 1 and same_key(heads[short[0]]) not in kept:
        del fields[short[0]]
    problems = []
    for name in dict.fromkeys(fields.values()):
        if name in kind.repeated:
            continue
        columns = [at for at, said in fields.items() if said == name]
        if len(columns) > 1:
            asked = [at for at in columns if same_key(heads[at]) in kept] if heads else []
            if len(asked) == 1:
                fields = {at: said for at, said in fields.items() if said != name or at == asked[0]}
                continue
            several = ", ".join(repr(heads[at].strip()) for at in columns)
            problems.append(f"{name}: several columns could be it: {several}")
            fields = {at: said for at, said in fields.items() if said != name}
    return fields, problems


def _place(where: str, heads: Sequence[str], width: int) -> int:
    """The column that a person named by its heading, or by its place from 1."""
    if is_place(where) and 0 < len(where) < 5 and 0 < int(where) <= max(width, len(heads)):
        return int(where) - 1
    key = same_key(where)
    exact = [at for at, heading in enumerate(heads) if heading.strip() == where.strip()]
    found = exact or [at for at, heading in enumerate(heads) if key and same_key(heading) == key]
    if len(found) == 1:
        return found[0]
    has = ", ".join(repr(heading.strip()) for heading in heads if heading.strip())
    raise RosterError(
        f"has {'several columns' if found else 'no column'} {where!r}",
        remedy=f"It has: {has}"
        if has
        else f"It has {counted(width, 'column')} and no headings: name one by its place, from 1",
    )


def _is_plain(rows: Sequence[Row]) -> bool:
    """Whether a file of one column holds animal numbers from its first row on."""
    first = rows[0].texts[0].strip() if rows else ""
    return any(letter.isdigit() for letter in first) and not is_no_animal(first)


def _problems(
    fields: Mapping[int, str], heads: Sequence[str], rows: Sequence[Row], kind: Kind
) -> list[str]:
    if not rows:
        return []
    has = ", ".join(repr(said) for heading in heads if (said := heading.strip()))
    problems = [
        said + (f"; the headings are {has}" if has else "; the file has no headings")
        for wanted, said in kind.wanted
        if wanted.isdisjoint(fields.values())
    ]
    chosen = [name for name in fields.values() if name not in kind.repeated]
    twice = {name for name in chosen if chosen.count(name) > 1}
    problems += [f"{name}: two columns were chosen for it" for name in sorted(twice)]
    return problems


def _left_out(
    fields: Collection[int], heads: Sequence[str], rows: Sequence[Row]
) -> tuple[str, ...]:
    filled: set[int] = set()
    for row in rows:
        if len(filled) < len(row.cells):
            filled.update(at for at, cell in enumerate(row.texts) if cell.strip())
    names = []
    for at in sorted(filled - set(fields)):
        said = heads[at].strip() if at < len(heads) else ""
        if same_key(said) not in _OURS:
            names.append(said or f"column {at + 1}")
    return tuple(names)
