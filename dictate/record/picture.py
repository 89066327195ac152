"""The herd picture: all figures of one farm over a period, whole-herd and partial trims kept apart."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from dictate.record.cases import (
    Case,
    CaseCounts,
    CaseRow,
    Closing,
    cases_of,
    count_cases,
    lesion_group,
    time_to_close,
)
from dictate.record.columns import Columns, columns_of_rows
from dictate.record.prevalence import (
    Prevalence,
    Share,
    by_trim,
    prevalence,
    shares,
    stage_distribution,
)
from dictate.record.rows import ActionRow, FindingRow, VisitRow
from dictate.record.trend import (
    Change,
    Course,
    OwnLast,
    Point,
    changes_since_last,
    over_months_or_years,
    own_last,
    step_for,
    trend,
)

GROUPED = ("foot", "claw", "zone", "lactation", "year")
"""Ways the figures are broken down, besides the herd as one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimPicture:
    """Figures of the visits of one kind."""

    trim: str
    """whole herd, chosen animals or not stated."""
    visits: tuple[VisitRow, ...]
    herd: tuple[Prevalence, ...]
    grouped: dict[str, tuple[Prevalence, ...]]
    """Figures by foot, claw, zone, lactation and year; by month where the lines are drawn so."""
    points: tuple[Point, ...]
    course: Course
    """The same as it is drawn: by month or year where the visits are many."""
    changes: tuple[Change, ...]
    groups: tuple[Share, ...]
    """Lesions by group: infectious, non-infectious …"""
    stages: tuple[Share, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HerdPicture:
    """One farm over a period."""

    farm: str
    first: date | None
    last: date | None
    """Days of the first and last visit in the picture; None when there is none."""
    trims: tuple[TrimPicture, ...]
    own_last: OwnLast | None
    """Each animal of the last visit against itself; None when there is no visit."""
    open_cases: tuple[Case | CaseRow, ...]
    cases: CaseCounts
    closing: Closing

    @property
    def years(self) -> tuple[int, ...]:
        """Years whose visits are drawn as one point; none where every visit has its own."""
        drawn = {day.year for trim in self.trims if trim.course.step != "visit" for day in trim.course.days}  # fmt: skip
        return tuple(sorted(drawn))


def draw_herd_picture(
    farm: str,
    visits: Sequence[VisitRow],
    columns: Columns,
    *,
    open_cases: Sequence[Case | CaseRow],
    cases: CaseCounts,
    closing: Closing,
) -> HerdPicture:
    """Count everything of one farm and period, but for its cases, which the store may have counted."""
    days = sorted(visit.on for visit in visits)
    return HerdPicture(
        farm=farm,
        first=days[0] if days else None,
        last=days[-1] if days else None,
        trims=tuple(
            _of_trim(trim, part, columns.of_visits(part)) for trim, part in by_trim(visits).items()
        ),
        own_last=own_last(columns, visits),
        open_cases=tuple(open_cases),
        cases=cases,
        closing=closing,
    )


def picture_of_rows(
    farm: str,
    visits: Sequence[VisitRow],
    findings: Sequence[FindingRow],
    actions: Sequence[ActionRow],
    *,
    chronic_visits: int = 3,
) -> HerdPicture:
    """The same from the rows of one farm and period.

    `chronic_visits` is a counting rule, said wherever the result shows: a case found at so many
    visits counts as chronic.
    """
    cases = cases_of(findings)
    return draw_herd_picture(
        farm,
        visits,
        columns_of_rows(findings, actions),
        open_cases=tuple(case for case in cases if case.closed_on is None),
        cases=count_cases(cases, chronic_visits=chronic_visits),
        closing=time_to_close(cases),
    )


def _of_trim(trim: str, visits: Sequence[VisitRow], columns: Columns) -> TrimPicture:
    points = trend(visits, prevalence(columns, visits, by="visit"))
    step = step_for(visits)
    ways = (*GROUPED, step) if step == "month" else GROUPED
    grouped = {by: prevalence(columns, visits, by=by) for by in ways}
    drawn = points if step == "visit" else over_months_or_years(grouped[step])
    return TrimPicture(
        trim=trim,
        visits=tuple(visits),
        herd=prevalence(columns, visits, by="herd"),
        grouped=grouped,
        points=points,
        course=Course(step=step, points=drawn),
        changes=changes_since_last(points),
        groups=_groups(columns),
        stages=stage_distribution(columns),
    )


def _groups(columns: Columns) -> tuple[Share, ...]:
    """Lesions that were there by their group, the commonest first."""
    names = columns.lesion.names
    counts = np.bincount(columns.lesion.at[columns.there], minlength=len(names)).tolist()
    of_group: Counter[str] = Counter()
    for name, count in zip(names, counts, strict=True):
        if count:
            of_group[lesion_group(name)] += count
    return shares(of_group)
