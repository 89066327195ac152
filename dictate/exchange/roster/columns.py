"""What a list holds, what the columns of one mean, and what is said of them to people."""

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from dictate.errors import RosterError
from dictate.exchange.roster.cells import Cell, Row
from dictate.exchange.roster.dates import (
    DateOrder,
    order_of_column,
    order_unsaid,
    orders_of_six,
    swapped_by_spreadsheet,
)
from dictate.exchange.roster.values import bare
from dictate.exchange.roster.words import headings, same_key, shortened
from dictate.texts import noted

FIELDS: Mapping[str, str] = {
    "number": noted("management number"),
    "eid": noted("electronic number, 15 digits"),
    "ear_tag": noted("ear tag"),
    "name": noted("name"),
    "lactation": noted("lactation"),
    "calved_on": noted("calved on"),
    "dried_off_on": noted("dried off on"),
    "left_on": noted("left the herd on"),
    "status": noted("status"),
    "farm": noted("farm"),
}
"""What is kept of an animal, and what it is called for people."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """What a kind of list holds."""

    fields: Mapping[str, str]
    """Name of each field to what it is called for people."""
    meanings: Callable[[], Mapping[str, str]]
    """Key of a heading to the field that it means."""
    signs: frozenset[str]
    """Fields of which one makes a row the headings; without it, it takes two others."""
    wanted: tuple[tuple[frozenset[str], str], ...]
    """Fields of which one has to be there, and what to say where none is."""
    repeated: frozenset[str] = frozenset()
    """Fields that several columns may hold: `Lesion 1`, `Lesion 2`."""
    reads: Callable[[str], str | None] = lambda _: None
    """The field of a heading that is none of `meanings`."""
    shortened: Callable[[str], str | None] = lambda _: None
    """The field of a heading that was cut short, where no other heading means it."""
    leaves: str | None = None
    """The field of a column whose heading is itself a way to leave: `Sold`, with a cross or a day under it."""
    added: frozenset[str] = frozenset()
    """Fields of which a person names some columns beside those that are known."""
    never_alone: frozenset[str] = frozenset()
    """Fields whose headings are too short to be believed of one column: `LA` may be a lactation."""


ROSTER = Kind(
    fields=FIELDS,
    meanings=headings,
    signs=frozenset({"number"}),
    repeated=frozenset({"left_on"}),
    shortened=shortened,
    leaves="left_on",
    wanted=((frozenset({"number"}), "number: no column is known to be the animals' number"),),
)

LEFT_OUT = "-"
"""In the place of a heading: this field is not taken from the file."""


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
    doubts: tuple[str, ...] = ()
    """What may be otherwise than a person chose."""
    not_meant: tuple[str, ...] = ()
    """Headings that were asked about, and mean nothing here as a person said."""
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
        places: dict[str, list[str]] = {}
        for at, name in sorted(self.fields.items()):
            places.setdefault(name, []).append(self._where(at, name))
        took = ", ".join(f"{fields[name]} from {', '.join(at)}" for name, at in places.items())
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

    def without(self, field: str) -> "Columns":
        """The same where a person said what stands in a field of all rows.

        Raises:
            RosterError: a column says it too.
        """
        if (at := self.column(field)) is not None:
            raise RosterError(
                f"{self.heading(at)!r} says it for each row", remedy=f"Leave it out: {field}=-"
            )
        others = tuple(said for said in self.problems if not said.startswith(f"{field}: "))
        return replace(self, problems=others)

    def must_be_known(self) -> None:
        """Refuse to go on with columns of which a person has to say something.

        Raises:
            RosterError: there are such.
        """
        if self.problems:
            field = self.problems[0].partition(": ")[0]
            raise RosterError(
                "; ".join(problem.partition(": ")[2] for problem in self.problems),
                remedy=f'Say which is what (--column {field}="HEADING", or its place, from 1; '
                f"{field}={LEFT_OUT} where none is; --preview shows the first lines)",
            )

    @property
    def kept(self) -> dict[str, str]:
        """What to keep for the next file of this farm: key of the heading, or `#place`, to field."""
        return {
            (same_key(self.headings[at]) if at < len(self.headings) else "") or f"#{at + 1}": name
            for at, name in self.fields.items()
        } | {same_key(heading): LEFT_OUT for heading in self.not_meant}


def date_orders(
    columns: Columns,
    body: Sequence[Row],
    names: Sequence[str],
    said: DateOrder | None,
    today: dt.date,
) -> tuple[dict[str, DateOrder | None], dict[str, str]]:
    """The order of day and month for each column of dates, and why its real dates are doubtful.

    One file is written by one program: what one column decides holds for the other.

    Raises:
        RosterError: no column decides, and a person did not say.
    """
    found: dict[str, DateOrder | None] = {}
    doubtful: dict[str, str] = {}
    unsure: dict[str, str] = {}
    for name in names:
        if (at := columns.column(name)) is None:
            continue
        cells = cells_under(columns, body, name)
        found[name], doubt = order_of_column(cells, columns.heading(at), said)
        if said is None and (six := orders_of_six(cells, today)):
            # One program writes all its days alike, also those that are not taken.
            for other in range(columns.width):
                others = [row.cells[other] for row in body if other < len(row.cells)]
                six &= orders_of_six(others, today) or six
            found[name] = _SIXES.get(frozenset(six))
            doubt = next(map(str, filter(None, cells))) if len(six) > 1 else ""
        if doubt:
            doubtful[name] = doubt
        if said is None and swapped_by_spreadsheet(cells):
            unsure[name] = (
                "may have day and month exchanged: the spreadsheet read part of this column as"
                " dates and left the rest as text"
            )
    decided = {order for order in found.values() if order}
    if len(decided) == 1:
        found |= dict.fromkeys(doubtful, decided.pop())
    elif doubtful:
        raise order_unsaid(next(iter(doubtful.values())))
    return found, unsure


_SIXES = {frozenset({"dmy"}): DateOrder.DAY_FIRST, frozenset({"mdy"}): DateOrder.MONTH_FIRST}


def cells_under(columns: Columns, body: Sequence[Row], name: str) -> list[Cell]:
    """What stands in the column of a field, or in its columns."""
    places = columns.columns(name)
    return [row.cells[at] for at in places for row in body if at < len(row.cells)]
