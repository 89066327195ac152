"""Columns that say by a mark who left: `Sold` with a Y, `Alive` with a 0, `Reason left` with a word."""

import datetime as dt
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from dictate.exchange.roster.cells import Cell
from dictate.exchange.roster.dates import DateOrder, NotYet, Unfit, read_date
from dictate.exchange.roster.words import (
    folded,
    is_empty,
    is_no,
    is_number_word,
    is_yes,
    leaving_words,
    statuses,
)
from dictate.store.states import AnimalStatus


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """What stands under a heading means for the animal; None for nothing."""

    yes: AnimalStatus | None = AnimalStatus.OFF_ROSTER
    """Also what a day means."""
    no: AnimalStatus | None = None
    word: AnimalStatus | None = None
    """What any word means that is no yes and no no."""
    only_planned: bool = False
    """Whether a yes may be of an animal that is to leave and still there."""
    asks: bool = False
    """Whether the heading itself says that a yes or a no stands below it: `Sold Y/N`."""


_LEFT = Way()
"""Under a heading for the day on which she left."""
_DAY = re.compile(r"\d.*\d.*\d")
"""Three digits are at least meant as one: `5 May 26`."""
_BRACKETS = re.compile(r"[(\[].*?[)\]]")
_SEVERAL = re.compile(r"[/|\n+&]")


@lru_cache(maxsize=1000)
def way_of(heading: str) -> Way | None:
    """What a mark under a heading such as `Sold`, `Død`, `Verkocht J/N` or `Active` means."""
    return _way(heading) or _way(_BRACKETS.sub(" ", heading))


def _way(heading: str) -> Way | None:
    words = folded(heading).split()
    asks = len(words) > 2 and (words[-2], words[-1]) in _yes_and_no()
    if found := _plain_way(words[:-2] if asks else words):
        return replace(found, asks=asks)
    if len(parts := [part for part in _SEVERAL.split(heading) if part.strip()]) < 2:
        return None
    ways = [_plain_way(folded(part).split()) for part in parts]
    if None in ways or any(one.no or one.word for one in ways if one):
        return None
    return ways[0] if len(set(ways)) == 1 else _LEFT


def _plain_way(words: list[str]) -> Way | None:
    data = _folded_lists()
    while len(words) > 1 and (words[0] in data["filling"] or is_number_word(words[0])):
        words = words[1:]
    if len(words) > 1 and words[-1] in data["day_follows"]:
        words = words[:-1]
    said = " ".join(words)
    if said in data["reasons"]:
        return Way(word=AnimalStatus.OFF_ROSTER)
    if absent := _absent().get(said):
        return Way(yes=None, no=absent)
    found = statuses().get(said)
    if found in (None, "present") or said in data["no_headings"]:
        return None
    return Way(yes=AnimalStatus(found), only_planned=said in data["planned"])


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
    data = _folded_lists()
    for yes, no in leaving_words()["pairs"]:
        if not signs or not signs <= {yes, no}:
            continue
        blank = any(is_empty(text) or is_no(text) for text in texts)
        alone = signs <= data["alone"] and (no in signs or blank)
        if len(signs) > 1 or alone or way.asks:
            return {yes: True, no: False}
    return {}


@dataclass(frozen=True, slots=True, kw_only=True)
class LeavingColumn:
    """A column that says who left."""

    way: Way
    marks: Mapping[str, bool]
    """Its signs for yes (true) and no."""

    def status(
        self, cell: Cell, order: DateOrder | None, today: dt.date, day_zero: dt.date | None
    ) -> AnimalStatus | None:
        """What a filled cell says; None where she is there, also before her day has come.

        Raises:
            Unfit: it is no day and no such mark.
        """
        if isinstance(cell, str) and not _DAY.search(cell):
            return self._status_of_word(cell)
        if self.way.yes is None:
            raise Unfit(f"{cell!s} says neither yes nor no")
        try:
            read_date(cell, order, today, day_zero)
        except NotYet:  # also 31.12.9999, as some programs write that she is there
            return None
        return self.way.yes

    def _status_of_word(self, text: str) -> AnimalStatus | None:
        if (found := statuses().get(folded(text))) is not None:
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


def column_of_leaving(heading: str, cells: Iterable[Cell]) -> LeavingColumn:
    """What a column means, by its heading and what stands in it."""
    way = way_of(heading) or _LEFT
    return LeavingColumn(way=way, marks=_marks_under(cells, way))


@cache
def _folded_lists() -> Mapping[str, frozenset[str]]:
    return {
        name: frozenset(word if name == "alone" else folded(word) for word in words)
        for name, words in leaving_words().items()
        if name not in ("present", "pairs", "questions")
    }


@cache
def _absent() -> Mapping[str, AnimalStatus]:
    return {
        folded(word): AnimalStatus(status)
        for status, words in leaving_words()["present"].items()
        for word in words
    }


@cache
def _yes_and_no() -> frozenset[tuple[str, str]]:
    """How a heading ends that asks for one of two: `y n`, `ja nee`, `1 0`."""
    data = leaving_words()
    both = [*data["pairs"], *data["questions"]]
    return frozenset((folded(a), folded(b)) for pair in both for a, b in (pair, pair[::-1]))
