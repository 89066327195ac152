"""Asking the record about a herd: its picture, and animals that want attention."""

import datetime as dt
from dataclasses import dataclass

from sqlmodel import Session

from dictate.record.cases import Case, cases_of
from dictate.record.picture import HerdPicture, draw_herd_picture
from dictate.store.record_queries import (
    Scope,
    action_rows,
    finding_rows,
    visit_rows,
)
from dictate.store.tables import Farm

__all__ = ["Repeated", "animals_with_cases", "herd_picture", "open_cases"]


YEAR = 365


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeated:
    """An animal and its cases of a period."""

    animal: str
    animal_id: int
    cases: tuple[Case, ...]

    @property
    def times(self) -> int:
        """Days on which a case began."""
        return len({case.first_on for case in self.cases})


def herd_picture(
    session: Session,
    farm: Farm,
    *,
    since: dt.date | None = None,
    until: dt.date | None = None,
    days: int | None = YEAR,
    chronic_visits: int = 3,
) -> HerdPicture:
    """Draw the picture of one farm over a period.

    Args:
        session: An open session.
        farm: The farm.
        since: First day; None takes so many `days` up to the last visit.
        until: Last day; None leaves the end open.
        days: Length of the period when `since` is not given; None takes everything.
        chronic_visits: Visits from which a case counts as chronic.
    """
    visits = [v for v in visit_rows(session, farm_id=farm.id) if until is None or v.on <= until]
    if since is None and days is not None and visits:
        since = visits[-1].on - dt.timedelta(days=days - 1)
    visits = [visit for visit in visits if since is None or visit.on >= since]
    scope = Scope(farm_id=farm.id, since=since, until=until)
    return draw_herd_picture(
        farm.name, visits, finding_rows(session, scope), action_rows(session, scope),
        chronic_visits=chronic_visits,
    )  # fmt: skip


def animals_with_cases(
    session: Session, farm: Farm, *, since: dt.date, until: dt.date, at_least: int = 2
) -> tuple[Repeated, ...]:
    """Animals that had cases again and again: cases that began on so many days of the period.

    Two feet of one visit are one time: what counts is a foot, a lesion and when it began.
    """
    findings = finding_rows(session, Scope(farm_id=farm.id, until=until))
    by_animal: dict[int, list[Case]] = {}
    for case in cases_of(findings):
        if case.first_on >= since:
            by_animal.setdefault(case.animal_id, []).append(case)
    found = [
        Repeated(animal=cases[0].animal, animal_id=animal_id, cases=tuple(cases))
        for animal_id, cases in by_animal.items()
        if len({case.first_on for case in cases}) >= at_least
    ]
    return tuple(sorted(found, key=lambda one: (-one.times, one.animal)))


def open_cases(session: Session, farm: Farm, *, animal_id: int | None = None) -> tuple[Case, ...]:
    """Cases that no note has closed, the longest without a look first."""
    findings = finding_rows(session, Scope(farm_id=farm.id, animal_id=animal_id))
    cases = [case for case in cases_of(findings) if case.closed_on is None]
    return tuple(sorted(cases, key=lambda case: (case.last_on, case.animal)))
