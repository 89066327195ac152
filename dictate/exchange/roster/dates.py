"""Dates as lists write them. Whether day or month stands first is decided over the file, or asked."""

import datetime as dt
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from dictate.errors import RosterError
from dictate.exchange.roster.cells import Cell
from dictate.exchange.roster.words import folded, is_empty, months, weekdays

YEARS_BACK = 30
"""A cow does not live longer."""

_TIME = re.compile(
    r"[T ]+\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?( ?[ap]m)?(Z|[+-]\d{2}:?\d{2})?$", re.IGNORECASE
)
_YEAR_FIRST = re.compile(r"(\d{4})([-/. ])(\d{1,2})\2(\d{1,2})")
_COMPACT = re.compile(r"(19|20)(\d{2})(\d{2})(\d{2})")
_YEAR_LAST = re.compile(
    r"(\d{1,2})([-/. ])(\d{1,2})(?:\2|(?<=\/\d)[- ]|(?<=\/\d\d)[- ])(\d{4}|\d{2})"
)
"""Also `14/3-26`: after a stroke the year may stand behind another sign."""
_SIX = re.compile(r"\d{6}", re.ASCII)
_SPREADSHEET_DAY = re.compile(r"(\d{5})(\.\d+)?")
_OTHER_NUMBER = re.compile(r"\d{1,4}|\d{6,}")
_FILLING = frozenset({"de", "del", "of", "den", "r", "roku"})
"""Words within a date that say nothing: `3 de marzo de 2026`, `14 marca 2026 r.`"""
_SPACED = re.compile(r"(?<=\d)\s*([-/.])\s*(?=\d)")
_YEAR_SIGN = re.compile(r"(?<=\d)\s*r(?:\.|oku)?$", re.IGNORECASE)
"""As in `22.10.2025 r.`"""
_SHORT_YEAR = re.compile(r"['’‘`´](?=\d\d$)")
"""As in 29-12-'25."""
_FIRST_WORD = re.compile(r"([^\W\d_]{2,12})[.,]*\s+(?=.*\d)")


class DateOrder(StrEnum):
    DAY_FIRST = "day-first"
    MONTH_FIRST = "month-first"


class Unfit(ValueError):
    """A cell that cannot be taken, in plain words."""


class NotYet(Unfit):
    """A day to come."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What the dates of a column say about their own order."""

    order: DateOrder | None
    """None where no date decides, or where they contradict each other."""
    doubtful: str = ""
    """A date that could be two days, as it stands there; empty where no date could."""
    mixed: bool = False
    """Some can only be day first, others only month first."""


def order_of(cells: Iterable[Cell]) -> Order:
    """Decide over a column: a part above twelve is a day, and dots are written day first."""
    day = month = dotted = False
    doubtful = ""
    for cell in cells:
        if not isinstance(cell, str) or not (found := _YEAR_LAST.fullmatch(_bare(cell))):
            continue
        first, second = int(found[1]), int(found[3])
        if first > 12 >= second:
            day = True
        elif second > 12 >= first:
            month = True
        elif first != second:
            doubtful = doubtful or cell.strip()
            dotted |= found[2] == "."
    order = None
    if day != month:
        order = DateOrder.DAY_FIRST if day else DateOrder.MONTH_FIRST
    elif dotted and not day:
        order = DateOrder.DAY_FIRST
    return Order(order=order, doubtful=doubtful, mixed=day and month)


def order_in_heading(heading: str) -> DateOrder | None:
    """`(dd/mm/yyyy)` and its like in other languages."""
    said = folded(heading)
    if re.search(r"\b(dd?|tt?|jj|gg) mm? ", f"{said} "):
        return DateOrder.DAY_FIRST
    if re.search(r"\bmm? (dd?|tt?|jj|gg) ", f"{said} "):
        return DateOrder.MONTH_FIRST
    return None


def swapped_by_spreadsheet(cells: Iterable[Cell]) -> bool:
    """Whether a spreadsheet turned some dates of a column into others.

    One that expects the month first reads 3/4 as a day in March and leaves 25/4 as text: the text is
    all above twelve and the real dates all have a day up to twelve.
    """
    dates, texts = [], []
    for cell in cells:
        if isinstance(cell, dt.date):
            dates.append(cell)
        elif found := _YEAR_LAST.fullmatch(_bare(cell)):
            texts.append(max(int(found[1]), int(found[3])))
    return bool(dates and texts) and min(texts) > 12 and all(date.day <= 12 for date in dates)


def orders_of_six(cells: Iterable[Cell], today: dt.date) -> set[str]:
    """In which orders all days of six figures, `250426`, are days that a cow can have: `dmy`, `mdy`, `ymd`.

    Empty where the cells are no such days.
    """
    texts = {cell.strip() for cell in cells if isinstance(cell, str) and not is_empty(cell.strip())}
    if not texts or not all(_SIX.fullmatch(text) for text in texts):
        return set()
    return {
        order for order in ("dmy", "mdy", "ymd") if all(_fits(one, order, today) for one in texts)
    }


def _fits(text: str, order: str, today: dt.date) -> bool:
    parts = dict(zip(order, (int(text[at : at + 2]) for at in (0, 2, 4)), strict=True))
    try:
        date = dt.date(_year(f"{parts['y']:02}", today), parts["m"], parts["d"])
    except ValueError:
        return False
    return today.year - YEARS_BACK <= date.year and date <= today


def order_of_column(
    cells: Sequence[Cell], heading: str, said: DateOrder | None
) -> tuple[DateOrder | None, str]:
    """The order of a column, by what a person said, its dates or its heading; else a doubtful date."""
    found = order_of(cells)
    order = said or found.order
    if order is None and not found.mixed:
        order = order_in_heading(heading)
        return order, "" if order else found.doubtful
    return order, ""


def order_unsaid(doubtful: str) -> RosterError:
    """Nothing in the file tells day from month."""
    return RosterError(
        f"does not say whether day or month stands first: {doubtful!r} could be two days",
        remedy="Say it (--dates day-first or --dates month-first)",
    )


def is_date(cell: Cell) -> bool:
    """Whether a cell is a day, whichever of its numbers is the month."""
    if not isinstance(cell, str):
        return True
    bare = _bare(cell)
    return bool(_YEAR_FIRST.fullmatch(bare) or _YEAR_LAST.fullmatch(bare))


def counted_from(cells: Iterable[Cell], day_zero: dt.date | None) -> dt.date | None:
    """The day from which the plain numbers of a workbook's column count; None where they may be no days.

    4.1.26 as 40126 would be a day of 2009: among numbers of other lengths none is believed.
    """
    texts = (cell.strip() for cell in cells if isinstance(cell, str))
    return None if day_zero is None or any(map(_OTHER_NUMBER.fullmatch, texts)) else day_zero


@lru_cache(maxsize=20_000)
def read_date(
    cell: Cell, order: DateOrder | None, today: dt.date, day_zero: dt.date | None = None
) -> dt.date:
    """Read one date; `day_zero` is the day from which plain numbers count.

    Raises:
        Unfit: it is none, could be two, or no cow's date.
    """
    date = cell if isinstance(cell, dt.date) else _parsed(cell, order, today, day_zero)
    if date > today:
        raise NotYet(f"{date} has not come yet")
    if date.year < today.year - YEARS_BACK:
        raise Unfit(f"{date} is more than {YEARS_BACK} years ago")
    return date


def _bare(text: str) -> str:
    bare = _TIME.sub("", text.strip())
    first = _FIRST_WORD.match(bare)
    if first and folded(first[1]) in weekdays() and not _is_month(first[1], bare[first.end() :]):
        bare = bare[first.end() :]
    bare = _YEAR_SIGN.sub("", bare)
    return _SHORT_YEAR.sub("", _SPACED.sub(r"\1", bare).rstrip("."))


def _is_month(word: str, rest: str) -> bool:
    """`mar 3 2026` is in March; `mar 3 fév 2026` is a Tuesday."""
    return folded(word) in months() and not re.search(r"[^\W\d_]|\d\D+\d+\D+\d", rest)


def _parsed(
    text: str, order: DateOrder | None, today: dt.date, day_zero: dt.date | None
) -> dt.date:
    bare = _bare(text)
    try:
        if found := _YEAR_FIRST.fullmatch(bare):
            return dt.date(int(found[1]), int(found[3]), int(found[4]))
        if found := _COMPACT.fullmatch(bare):
            return dt.date(int(found[1] + found[2]), int(found[3]), int(found[4]))
        if found := _YEAR_LAST.fullmatch(bare):
            return _year_last(text, int(found[1]), int(found[3]), _year(found[4], today), order)
        if order is not None and _SIX.fullmatch(bare):
            year = _year(bare[4:], today)
            return _year_last(text, int(bare[:2]), int(bare[2:4]), year, order)
        if (written := _written_out(bare, today)) is not None:
            return written
    except ValueError as error:
        if isinstance(error, Unfit):
            raise
        raise Unfit(f"{text!r} is no day of the calendar") from None
    if found := _SPREADSHEET_DAY.fullmatch(bare):
        if day_zero is not None:
            return day_zero + dt.timedelta(days=int(found[1]))
        raise Unfit(f"{text!r} is a spreadsheet's count of days: show the column as dates")
    raise Unfit(f"{text!r} is no date such as 2026-03-02")


def _year_last(text: str, first: int, second: int, year: int, order: DateOrder | None) -> dt.date:
    if order is None and first != second and first <= 12 and second <= 12:
        raise Unfit(f"{text!r} could be two days: say whether day or month stands first")
    if order is None:
        order = DateOrder.MONTH_FIRST if second > 12 else DateOrder.DAY_FIRST
    day, month = (first, second) if order == DateOrder.DAY_FIRST else (second, first)
    if month > 12 >= day:
        raise Unfit(
            f"{text!r} has no such month; the other dates have the {order.replace('-', ' ')}"
        )
    return dt.date(year, month, day)


def _year(digits: str, today: dt.date) -> int:
    """Two digits mean this century up to now and a little after, so that a wrong year is seen."""
    if len(digits) == 4:
        return int(digits)
    year = 2000 + int(digits)
    return year if year <= today.year + 20 else year - 100


def _written_out(text: str, today: dt.date) -> dt.date | None:
    words = [word for word in re.split(r"[\s.,/\-]+", text) if word]
    words = [word for word in words if folded(word) not in _FILLING]
    named = [at for at, word in enumerate(words) if folded(word) in months()]
    if len(words) != 3 or len(named) != 1:
        return None
    month = months()[folded(words.pop(named[0]))]
    numbers = [re.sub(r"(?<=\d)(st|nd|rd|th|er|e)$", "", word.lower()) for word in words]
    if not all(word.isascii() and word.isdigit() for word in numbers):
        return None
    first, last = numbers
    if len(first) == 4:  # 2026 March 2
        first, last = last, first
    if len(first) > 2 or len(last) not in (2, 4):
        return None
    return dt.date(_year(last, today), month, int(first))
