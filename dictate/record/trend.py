"""How the figures move from visit to visit, or over long periods from year to year; visits of one kind only.

Beside them each animal of the last visit against its own visit before: the comparison that chance
disturbs least.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import hypot

import numpy as np

from dictate.record.columns import NONE, Columns
from dictate.record.prevalence import Counted, Prevalence, wilson
from dictate.record.rows import VisitRow, natural

_MOST_POINTS = 30
"""More on one line cannot be told apart in print."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch(Counted):
    """One lesion over the visits of a month or year, each animal counted once."""

    on: date
    """The first day of it."""
    lesion: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Point(Stretch):
    """One lesion at one visit, on its day."""

    visit_id: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """What is drawn as lines: a point for each visit, or where those are many for each month or year."""

    step: str
    """visit, month or year."""
    points: tuple[Stretch, ...]

    @property
    def days(self) -> tuple[date, ...]:
        """Where the points stand, in order."""
        return tuple(sorted({point.on for point in self.points}))


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One lesion at the last visit against the one before."""

    lesion: str
    before: Point
    now: Point
    low: float
    """Lower end of the 95 % interval of the difference in shares, from -1 to 1."""
    high: float

    @property
    def is_up(self) -> bool:
        return self.now.count * self.before.out_of > self.before.count * self.now.out_of

    @property
    def is_clear(self) -> bool:
        """The interval of the difference leaves out zero: more than visits differ by chance."""
        return self.low > 0 or self.high < 0


def trend(visits: Sequence[VisitRow], by_visit: Sequence[Prevalence]) -> tuple[Point, ...]:
    """Return a point for every lesion counted by visit and every visit, zeros included."""
    counted = {(row.group, row.lesion): row for row in by_visit}
    out_of = {row.group: row.out_of for row in by_visit}
    there = [
        (visit, group)
        for visit in sorted(visits, key=lambda visit: (visit.on, visit.id))
        if (group := f"{visit.on.isoformat()} #{visit.id}") in out_of
    ]
    return tuple(
        Point(
            visit_id=visit.id,
            on=visit.on,
            lesion=lesion,
            count=row.count if (row := counted.get((group, lesion))) else 0,
            out_of=out_of[group],
        )
        for lesion in sorted({lesion for _, lesion in counted})
        for visit, group in there
    )


def step_for(visits: Sequence[VisitRow]) -> str:
    """The finest of visit, month and year that leaves few enough points."""
    if len(visits) <= _MOST_POINTS:
        return "visit"
    months = {(visit.on.year, visit.on.month) for visit in visits}
    return "month" if len(months) <= _MOST_POINTS else "year"


def over_months_or_years(rows: Sequence[Prevalence]) -> tuple[Stretch, ...]:
    """Return a point for every lesion and every month or year counted, zeros included."""
    counted = {(row.group, row.lesion): row.count for row in rows}
    out_of = {row.group: row.out_of for row in rows}
    first_days = {group: _first_day(*map(int, group.split("-"))) for group in out_of}
    return tuple(
        Stretch(
            on=first_days[group],
            lesion=lesion,
            count=counted.get((group, lesion), 0),
            out_of=out_of[group],
        )
        for lesion in sorted({lesion for _, lesion in counted})
        for group in sorted(out_of)
    )


def _first_day(year: int, month: int = 1) -> date:
    return date(year, month, 1)


def changes_since_last(points: Sequence[Point]) -> tuple[Change, ...]:
    """Compare the last two visits lesion by lesion, the largest rise first."""
    visits = sorted({(point.on, point.visit_id) for point in points})[-2:]
    if len(visits) < len(("before", "now")):
        return ()
    at = {(point.visit_id, point.lesion): point for point in points}
    (_, before_id), (_, now_id) = visits
    changes = []
    for lesion in sorted({point.lesion for point in points}):
        before, now = at[before_id, lesion], at[now_id, lesion]
        if before.count or now.count:
            low, high = difference_interval(now.count, now.out_of, before.count, before.out_of)
            changes.append(Change(lesion=lesion, before=before, now=now, low=low, high=high))
    return tuple(
        sorted(changes, key=lambda c: c.before.count / c.before.out_of - c.now.count / c.now.out_of)
    )


def difference_interval(
    count: int, out_of: int, other: int, other_out_of: int
) -> tuple[float, float]:
    """Return the 95 % interval of count/out_of - other/other_out_of.

    Newcombe 1998 (Stat Med 17:873-890), hybrid score without continuity correction, from the two
    Wilson intervals.
    """
    share, other_share = count / out_of, other / other_out_of
    low, high = wilson(count, out_of)
    other_low, other_high = wilson(other, other_out_of)
    difference = share - other_share
    return (
        difference - hypot(share - low, other_high - other_share),
        difference + hypot(high - share, other_share - other_low),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnLast:
    """Animals of the last visit, by whether they had a lesion then and when last looked at before."""

    on: date
    """Day of the last visit."""
    began: tuple[str, ...]
    """A lesion now, none at their own visit before."""
    still: tuple[str, ...]
    """A lesion at both."""
    gone: tuple[str, ...]
    """None now, one at their own visit before."""
    clean: tuple[str, ...]
    """None at both."""
    first: tuple[str, ...]
    """Looked at for the first time in the period: nothing to compare with."""


def own_last(columns: Columns, visits: Sequence[VisitRow]) -> OwnLast | None:
    """Compare every animal that the last visit looked at with its own visit before; None without visits.

    Visits of every kind count: an animal is compared with itself, however either visit chose it.
    """
    if not visits:
        return None
    inorder = sorted(visits, key=lambda visit: (visit.on, visit.id))
    turn_of = {visit.id: at for at, visit in enumerate(inorder)}
    turns = np.array([turn_of.get(name, NONE) for name in columns.visit.names] + [NONE])
    turn = turns[columns.visit.at]
    last, animals = len(inorder) - 1, columns.animal
    before = np.full(len(animals.names), NONE)
    earlier = (turn >= 0) & (turn < last)
    np.maximum.at(before, animals.at[earlier], turn[earlier])
    ill_now, ill_before, now = (np.zeros(len(animals.names), dtype=bool) for _ in range(3))
    now[animals.at[turn == last]] = True
    ill_now[animals.at[columns.there & (turn == last)]] = True
    ill_before[animals.at[columns.there & earlier & (turn == before[animals.at])]] = True
    groups: dict[str, list[str]] = {
        name: [] for name in ("began", "still", "gone", "clean", "first")
    }
    kinds = {(True, False): "began", (True, True): "still", (False, True): "gone"}
    for at in np.flatnonzero(now):
        if (number := columns.numbers.get(animals.names[at])) is None:
            continue
        kind = kinds.get((bool(ill_now[at]), bool(ill_before[at])), "clean")
        groups["first" if before[at] == NONE else kind].append(number)
    return OwnLast(
        on=inorder[-1].on,
        **{kind: tuple(sorted(numbers, key=natural)) for kind, numbers in groups.items()},
    )
