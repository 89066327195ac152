"""Asking the record about a herd: its picture, and animals that want attention."""

import datetime as dt
from dataclasses import dataclass

from sqlalchemy import ColumnElement
from sqlmodel import Session, col, select

from dictate.record.cases import CaseRow
from dictate.record.picture import HerdPicture, draw_herd_picture
from dictate.store.record_queries import (
    Scope,
    action_rows,
    finding_rows,
    visit_rows,
)
from dictate.store.record_tables import HerdCase
from dictate.store.tables import Animal, Farm

__all__ = ["Repeated", "animals_with_cases", "herd_picture", "open_cases"]


YEAR = 365


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeated:
    """An animal and its cases of a period."""

    animal: str
    animal_id: int
    cases: tuple[CaseRow, ...]

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
    by_animal: dict[int, list[CaseRow]] = {}
    for case in _cases(session, farm, col(HerdCase.first_on).between(since, until)):
        by_animal.setdefault(case.animal_id, []).append(case)
    found = [
        Repeated(
            animal=cases[0].animal,
            animal_id=animal_id,
            cases=tuple(
                sorted(cases, key=lambda case: (case.first_on, case.name, case.foot or ""))
            ),
        )
        for animal_id, cases in by_animal.items()
    ]
    several = [one for one in found if one.times >= at_least]
    return tuple(sorted(several, key=lambda one: (-one.times, one.animal)))


def open_cases(
    session: Session, farm: Farm, *, animal_id: int | None = None
) -> tuple[CaseRow, ...]:
    """Cases that no note has closed, the longest without a look first."""
    wanted: list[ColumnElement[bool]] = [col(HerdCase.closed_on).is_(None)]
    if animal_id is not None:
        wanted.append(col(HerdCase.animal_id) == animal_id)
    cases = _cases(session, farm, *wanted)
    return tuple(sorted(cases, key=lambda case: (case.last_on, case.animal)))


def _cases(session: Session, farm: Farm, *wanted: ColumnElement[bool]) -> list[CaseRow]:
    """Cases of a farm, in order of their first day."""
    of = HerdCase.__table__.c  # type: ignore[attr-defined]
    names = [name for name in CaseRow.__dataclass_fields__ if name != "animal"]
    query = (
        select(*(of[name] for name in names), Animal.number.label("animal"))  # type: ignore[call-overload,attr-defined]
        .select_from(HerdCase)
        .join(Animal, col(Animal.id) == of.animal_id)
        .where(of.farm_id == farm.id, *wanted)
        .order_by(of.first_on, Animal.number)
    )
    keys = [*names, "animal"]
    return [CaseRow(**dict(zip(keys, row, strict=True))) for row in session.execute(query)]
