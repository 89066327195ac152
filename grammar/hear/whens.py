"""Intervals and dates, relative to the clip's own date; nothing is ever supplied that was not said."""

import calendar
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from grammar.lexicon.schema import TimeUnit

_MONTHS_MAX = 1200
_LEAP_YEAR = 2024
"""February has 29 days in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class When:
    """A spoken time: days from the clip's date, the date itself, both or (undated) neither."""

    said: str
    no_day: bool = False
    """Whether no calendar has the day that was said."""
    in_days: int | None = None
    on: date | None = None


def from_days(said: str, days: int, on: date | None) -> When:
    """A number of days from the clip's date."""
    return When(said=said, in_days=days, on=_plus(on, days))


def _plus(on: date | None, days: int) -> date | None:
    try:
        return None if on is None else on + timedelta(days=days)
    except OverflowError:
        return None


def add_months(on: date, months: int) -> date:
    """Same day of a later month, or that month's last day."""
    year, month = divmod(on.year * 12 + on.month - 1 + months, 12)
    year = min(max(year, 1), date.max.year)
    return date(year, month + 1, min(on.day, calendar.monthrange(year, month + 1)[1]))


def from_months(said: str, months: int, on: date | None) -> When:
    """Calendar months; in days only where the clip's date is known."""
    if on is None:
        return When(said=said)
    due = add_months(on, min(months, _MONTHS_MAX))
    return When(said=said, in_days=(due - on).days, on=due)


def from_count(said: str, count: Fraction, unit: TimeUnit, on: date | None) -> When | None:
    """A number of days, weeks or months; None where it comes to no whole days or months."""
    amount = count * (unit.months or unit.days)
    if amount.denominator != 1:
        return None
    return (from_months if unit.months else from_days)(said, int(amount), on)


def _dated(said: str, due: date | None, on: date | None) -> When:
    if due is None or on is None:
        return When(said=said)
    return When(said=said, in_days=(due - on).days, on=due)


def from_weekday(said: str, weekday: int, weeks_later: int, on: date | None) -> When:
    """The first such day after the clip's date, and `weeks_later` weeks more."""
    if on is None:
        return When(said=said)
    ahead = (weekday - on.weekday() - 1) % 7 + 1
    return _dated(said, _plus(on, ahead + 7 * weeks_later), on)


def from_month_day(said: str, day: int, month: int | None, on: date | None) -> When:
    """The first such day not before the clip's date; an impossible day stays undated."""
    if on is None or is_no_day(day, month):
        return When(said=said, no_day=is_no_day(day, month))
    start = on.replace(day=1)
    for ahead in range(13):
        first = add_months(start, ahead)
        if month is not None and first.month != month:
            continue
        if day > calendar.monthrange(first.year, first.month)[1]:
            continue
        due = first.replace(day=day)
        if due >= on:
            return _dated(said, due, on)
    return When(said=said)


def is_no_day(day: int, month: int | None) -> bool:
    """Whether no year has such a day: the thirty first of April."""
    longest = 31 if month is None else calendar.monthrange(_LEAP_YEAR, month)[1]
    return not 1 <= day <= longest


def from_month_end(said: str, month: int, on: date | None) -> When:
    """The last day of the next such month, this month included."""
    if on is None:
        return When(said=said)
    first = add_months(on.replace(day=1), (month - on.month) % 12)
    return _dated(said, first.replace(day=calendar.monthrange(first.year, month)[1]), on)


def from_calendar(said: str, name: str, on: date | None) -> When:
    """ "end of month", "end of week" (Friday), "next month", "start of next month" and their like."""
    if on is None:
        return When(said=said)
    if name in ("next month", "month after next"):
        return from_months(said, 1 if name == "next month" else 2, on)
    if name == "start of next month":
        return _dated(said, add_months(on.replace(day=1), 1), on)
    if name in ("end of week", "end of next week"):
        later = 7 if name == "end of next week" else 0
        return _dated(said, _plus(on, (4 - on.weekday()) % 7 + later), on)
    month = add_months(on.replace(day=1), 1 if name == "end of next month" else 0)
    last = calendar.monthrange(month.year, month.month)[1]
    return _dated(said, month.replace(day=last), on)
