"""Which column of a table is what: by headings that are known, or as a person says; never guessed."""

import re
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import zip_longest

from dictate.entry.wording import counted
from dictate.errors import RosterError
from dictate.exchange.roster.cells import Cell, Row, Table
from dictate.exchange.roster.values import bare
from dictate.exchange.roster.words import headings, is_country, is_no_animal, same_key
from dictate.texts import noted

FIELDS: Mapping[str, str] = {
    "number": noted("management number"),
    "eid": noted("electronic number, 15 digits"),
    "ear_tag": noted("ear tag"),
    "name": noted("name"),
    "lactation": noted("lactation"),
    "calved_on": noted("calved on"),
    "dried_off_on": noted("dried off on"),
    "status": noted("status"),
}
"""What is kept of an animal, and what it is called for people."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """What a kind of list holds."""

    fields: Mapping[str, str]
    """Name of each field to what it is called for people."""
    meanings: Callable[[], Mapping[str, str]]
    """Key of a heading to the field that it means."""
    sign: str
    """The field without which no row is taken for the headings."""
    wanted: tuple[tuple[frozenset[str], str], ...]
    """Fields of which one has to be there, and what to say where none is."""
    repeated: frozenset[str] = frozenset()
    """Fields that several columns may hold: `Lesion 1`, `Lesion 2`."""
    never_alone: frozenset[str] = frozenset()
    """Fields whose headings are too short to be believed of one column: `LA` may be a lactation."""


ROSTER = Kind(
    fields=FIELDS,
    meanings=headings,
    sign="number",
    wanted=((frozenset({"number"}), "number: no column is known to be the animals' number"),),
)

LEFT_OUT = "-"
"""In the place of a heading: this field is not taken from the file."""

_LOOK = 60
"""Rows among which the headings are looked for."""
_OURS = frozenset({same_key("what is wrong"), same_key("line in the file")})
"""Headings of a file of refused rows; they come back with it."""
_BRACKETS = re.compile(r"[(\[].*?[)\]]")
_COUNTED = re.compile(r"[\s.#_]*[1-9]\s*$")
"""The end of a heading that is there several times: `Lesion 2`, `Lesion.1`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """What the columns of one table mean."""

    fields: Mapping[int, str]
    """Column, from 0, to a field of `FIELDS`."""
    headings: tuple[str, ...]
    """As they stand in the file; empty for a file without."""
    start: int
    """Index of the first row below the headings."""
    above: int = 0
    """Rows above the headings, which are titles and the like."""
    problems: tuple[str, ...] = ()
    """What has to be said by a person first."""
    width: int = 0

    left_out: tuple[str, ...] = field(default=())
    """Headings of filled columns that are not taken."""
    eid_parts: tuple[int, ...] = ()
    """Columns that make up the electronic number together, in their order; empty for one column."""

    def column(self, name: str) -> int | None:
        """Where a field stands."""
        return next((at for at, said in self.fields.items() if said == name), None)

    def columns(self, name: str) -> list[int]:
        """Where a field stands that several columns may hold, from the left."""
        return [at for at, said in sorted(self.fields.items()) if said == name]

    def heading(self, at: int) -> str:
        """The heading of a column, or which one it is."""
        said = self.headings[at].strip() if at < len(self.headings) else ""
        return said or f"column {at + 1}"

    def told(self, how: str, fields: Mapping[str, str], dates: str | None) -> list[str]:
        """How a file was read, one line for each thing that somebody may want to know.

        Args:
            how: What kind of file it is.
            fields: Name of each field to what it is called for people.
            dates: The order of its dates, where it matters.
        """
        took = ", ".join(
            f"{fields[name]} from {self._where(at, name)}"
            for at, name in sorted(self.fields.items())
        )
        told = [f"Read as {how}: {took}."]
        if dates is not None:
            told.append(f"Dates are read with the {dates.replace('-', ' ')}.")
        if self.left_out:
            told.append(f"Columns not taken: {', '.join(self.left_out)}.")
        return told

    def _where(self, at: int, name: str) -> str:
        places = self.eid_parts if name == "eid" and self.eid_parts else (at,)
        return " and ".join(repr(self.heading(place)) for place in places)

    def cell(self, row: Row, at: int) -> Cell:
        """What stands in a column of a row, an electronic number in parts as one; empty when it ends before."""
        if self.eid_parts and self.fields.get(at) == "eid":
            texts = row.texts
            return "".join(bare(texts[part]) for part in self.eid_parts if part < len(texts))
        return row.cells[at] if at < len(row.cells) else ""

    def must_be_known(self, field: str) -> None:
        """Refuse to go on with columns of which a person has to say something; `field` is an example.

        Raises:
            RosterError: there are such.
        """
        if self.problems:
            raise RosterError(
                "; ".join(problem.partition(": ")[2] for problem in self.problems),
                remedy=f'Say which is what: --column {field}="HEADING" (or its place, from 1); '
                "--preview shows the first lines",
            )

    @property
    def kept(self) -> dict[str, str]:
        """What to keep for the next file of this farm: key of the heading, or `#place`, to field."""
        return {
            (same_key(self.headings[at]) if at < len(self.headings) else "") or f"#{at + 1}": name
            for at, name in self.fields.items()
        }


def known_headings(
    cells: Iterable[str], kept: Mapping[str, str] | None = None, kind: Kind = ROSTER
) -> int:
    """How many cells are known headings; 0 when none is an animal's number."""
    found = [name for cell in cells if (name := _meaning(cell, kept or {}, kind))]
    return len(found) if kind.sign in found else 0


def find_columns(
    table: Table,
    *,
    given: Mapping[str, str] | None = None,
    at: Mapping[int, str] | None = None,
    kept: Mapping[str, str] | None = None,
    kind: Kind = ROSTER,
) -> Columns:
    """Find out what the columns mean.

    Args:
        table: The file.
        given: Field to heading or place ("2"), as said by a person; `-` leaves the field out.
        at: Column, from 0, to field, as chosen on the page; nothing else is then taken.
        kept: What was said for an earlier file of the farm.
        kind: What the list holds.

    Raises:
        RosterError: a field or a heading that was named is not there.
    """
    given, kept = given or {}, kept or {}
    for name in given:
        if name not in kind.fields:
            raise RosterError(
                f"there is no field {name!r}", remedy=f"The fields are: {', '.join(kind.fields)}"
            )
    row = _heading_row(table, given, kept, kind)
    heads = table.rows[row].texts if row is not None else ()
    start = 0 if row is None else row + 1
    if row is not None and (below := _heads_of_two_rows(table, row, kept, kind)):
        heads, start = below, start + 1
    elif row and (both := _heads_of_two_rows(table, row - 1, kept, kind)):
        heads = both  # the lower row alone has more known headings than the upper one
    width = max((len(one.cells) for one in table.rows[start:]), default=0)
    fields, problems = (dict(at), []) if at is not None else _by_heading(heads, kept, width, kind)
    for name, where in given.items():
        fields = {column: said for column, said in fields.items() if said != name}
        problems = [problem for problem in problems if not problem.startswith(f"{name}: ")]
        if where != LEFT_OUT:
            fields[_place(where, heads, width)] = name
    plain = kind is ROSTER and not heads and not fields and at is None and width == 1
    if plain and _is_plain(table.rows):
        fields = {0: "number"}
    problems += _problems(fields, heads, table.rows, kind)
    if _is_turned(fields, heads, table.rows[start:], kind):
        problems.append(
            f"{kind.sign}: each animal has a column of its own: turn the list by a quarter"
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
        left_out=_left_out({*fields, *parts}, heads, table.rows[start:]),
        eid_parts=parts,
    )


def _heading_row(
    table: Table, given: Mapping[str, str], kept: Mapping[str, str], kind: Kind
) -> int | None:
    """The row with most known headings; else a first row that is no animal."""
    named = {same_key(where) for where in given.values() if where != LEFT_OUT}
    best, most = None, 0
    for at, row in enumerate(table.rows[:_LOOK]):
        found = known_headings(row.texts, kept, kind)
        # A row that holds every heading that a person named is the heading row.
        found += len(named & {same_key(cell) for cell in row.texts if cell.strip()}) * 100
        if found > most:
            best, most = at, found
    if best is None and table.rows and not _holds_digits(table.rows[0]):
        return 0
    return best


def _heads_of_two_rows(
    table: Table, row: int, kept: Mapping[str, str], kind: Kind
) -> tuple[str, ...] | None:
    """Headings broken over two rows, `Cow` above `No.`; None where the row below tells nothing more."""
    if row + 1 >= len(table.rows) or table.rows[row + 1].line != table.rows[row].line + 1:
        return None
    upper, lower = table.rows[row].texts, table.rows[row + 1].texts
    if _holds_digits(table.rows[row + 1]):
        return None
    heads, over = [], ""
    for one, other in zip_longest(map(str.strip, upper), map(str.strip, lower), fillvalue=""):
        over = one or over  # a heading over several columns stands above the first of them
        both = f"{one} {other}".strip()
        said = (both, other, one, f"{over} {other}" if other else "")
        heads.append(next((head for head in said if _meaning(head, kept, kind)), both))
    found = {_meaning(one, kept, kind) for one in heads} - {None}
    alone = [{_meaning(one, kept, kind) for one in each} - {None} for each in (upper, lower)]
    return tuple(heads) if all(found > known for known in alone) else None


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


def _holds_digits(row: Row) -> bool:
    return any(any(letter.isdigit() for letter in cell) for cell in row.texts)


def _meaning(heading: str, kept: Mapping[str, str], kind: Kind) -> str | None:
    """The field of a heading; `(dd/mm/yyyy)` and the like after it do not matter."""
    if not heading or len(heading) > 80:
        return None
    for said in (heading, _BRACKETS.sub(" ", heading)):
        key = same_key(said)
        if key and (found := kept.get(key) or kind.meanings().get(key)):
            return found
    counted = kind.meanings().get(same_key(_COUNTED.sub("", heading)))
    if counted in kind.repeated:
        return counted
    # Two languages in one heading, `Kuh / Cow`, when both mean the same.
    parts = [same_key(part) for part in re.split(r"[/|\n]", heading)]
    meant = {kind.meanings().get(part) for part in parts if part}
    return meant.pop() if len(parts) > 1 and len(meant) == 1 else None


def _by_heading(
    heads: Sequence[str], kept: Mapping[str, str], width: int, kind: Kind
) -> tuple[dict[int, str], list[str]]:
    fields: dict[int, str] = {}
    if heads:
        for at, heading in enumerate(heads):
            if name := _meaning(heading, kept, kind):
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
    key = same_key(where)
    exact = [at for at, heading in enumerate(heads) if heading.strip() == where.strip()]
    found = exact or [at for at, heading in enumerate(heads) if key and same_key(heading) == key]
    if len(found) == 1:
        return found[0]
    if not found and where.strip().isascii() and where.strip().isdigit():
        place = int(where) - 1
        if 0 <= place < max(width, len(heads)):
            return place
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
