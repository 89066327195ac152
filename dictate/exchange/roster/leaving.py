"""Columns that say by a mark who left: `Sold` with a Y, `Alive` with a 0, `Reason left` with a word."""

import datetime as dt
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from dictate.exchange.roster.cells import Cell, Row
from dictate.exchange.roster.columns import Columns
from dictate.exchange.roster.dates import DateOrder, NotYet, Unfit, read_date
from dictate.exchange.roster.refused import folded_cells, is_summed, not_a_row
from dictate.exchange.roster.ways_to_leave import LEFT, Way, leaving_lists, way_of
from dictate.exchange.roster.words import (
    folded,
    is_empty,
    is_no,
    is_yes,
    leaving_words,
    status_word,
    statuses,
)
from dictate.store.states import AnimalStatus

_DAY = re.compile(r"\d.*\d.*\d")
"""Three digits are at least meant as one: `5 May 26`."""


def is_other(heading: str, cells: Iterable[Cell]) -> bool:
    """Whether a heading such as `Active` or `In herd` has no yes and no no below it, but days or amounts."""
    way = way_of(heading)
    if way is None or way.yes is not None:
        return False
    texts = [cell.strip() for cell in cells if isinstance(cell, str)]
    words = any(is_yes(text) or is_no(text) or folded(text) in statuses() for text in texts)
    return not words and not _marks_under(texts, way)


def _marks_under(cells: Iterable[Cell], way: Way) -> Mapping[str, bool]:
    """The signs of a column that surely stand for yes (true) and no; none where something else may be meant."""
    texts = [cell.strip().casefold() for cell in cells if isinstance(cell, str)]
    signs = {
        text
        for text in texts
        if not (is_empty(text) or is_yes(text) or is_no(text) or folded(text) in statuses())
        and not _DAY.search(text)
    }
    blank = any(is_empty(text) or is_no(text) for text in texts)
    for no, yes in _signs().items():
        alone = signs <= leaving_lists()["alone"] and (no in signs or blank)
        if (
            signs
            and signs <= yes | {no}
            and ((no in signs and len(signs) > 1) or alone or way.asks)
        ):
            return {**dict.fromkeys(yes, True), no: False}
    return {}


@cache
def _signs() -> Mapping[str, frozenset[str]]:
    """Each sign for no to those that stand for yes beside it."""
    pairs = leaving_words()["pairs"]
    return {no: frozenset(yes for yes, beside in pairs if beside == no) for _, no in pairs}


@dataclass(frozen=True, slots=True, kw_only=True)
class LeavingColumn:
    """A column that says who left."""

    way: Way
    marks: Mapping[str, bool]
    """Its signs for yes (true) and no."""
    blank_asks: bool = False
    """Whether a blank may stand for a no: under `Present`, where others have a cross and nobody a no."""

    def status(
        self, cell: Cell, order: DateOrder | None, today: dt.date, day_zero: dt.date | None
    ) -> AnimalStatus | None:
        """What a filled cell says; None where she is there, also before her day has come.

        Raises:
            Unfit: it is no day and no such mark.
        """
        if isinstance(cell, str) and (not _DAY.search(cell) or status_word(cell)):
            return self._status_of_word(cell)
        if self.way.yes is None:
            raise Unfit(f"{cell!s} says neither yes nor no")
        try:
            read_date(cell, order, today, day_zero)
        except NotYet:  # also 31.12.9999, as some programs write that she is there
            return None
        return self.way.yes

    def _status_of_word(self, text: str) -> AnimalStatus | None:
        if "?" in text:
            raise Unfit(f"{text!r} is in doubt")
        if (found := status_word(text)) is not None:
            return AnimalStatus(found)
        if is_no(text) or self.marks.get(text.casefold()) is False:
            return self.way.no
        if not (is_yes(text) or self.marks.get(text.casefold())):
            if self.way.word is None or not any(map(str.isalpha, text)):
                raise Unfit(f"{text!r} is no day, and nothing that surely says yes or no")
            return self.way.word
        if self.way.only_planned:
            raise Unfit(f"{text!r} may be of an animal that has left or of one that is to leave")
        return self.way.yes


def leaving_columns(columns: Columns, rows: Sequence[Row]) -> dict[int, LeavingColumn]:
    """What the columns that say who left mean, by the rows that may be animals."""
    places = columns.columns("left_on")
    heads = folded_cells(columns.headings)
    rows = [row for row in rows if places and not (not_a_row(row, heads) or is_summed(row))]
    found = {}
    for at in places:
        way = way_of(columns.heading(at)) or LEFT
        texts = [row.texts[at].strip() for row in rows if at < len(row.cells)]
        marks = _marks_under(texts, way)
        yes = {text for text in texts if is_yes(text) or marks.get(text.casefold())}
        no = any(is_no(text) or marks.get(text.casefold()) is False for text in texts)
        blank_asks = way.yes is None and bool(yes) and not no
        found[at] = LeavingColumn(way=way, marks=marks, blank_asks=blank_asks)
    return found
