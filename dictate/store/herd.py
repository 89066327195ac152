"""Asking the record about a herd: its picture, and animals that want attention."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import sqlalchemy as sa
from numpy.typing import NDArray
from sqlalchemy import ColumnElement
from sqlmodel import Session, col, select

from dictate.large_work import without_collecting
from dictate.record.cases import CaseCounts, CaseRow, Closing, closing_of
from dictate.record.columns import NONE, Columns, Listed, columns_of, worded
from dictate.record.picture import HerdPicture, draw_herd_picture, picture_of_rows
from dictate.record.rows import STAGED, TRIM_KINDS, YEAR
from dictate.store.record_queries import Scope, action_rows, finding_rows, visit_rows
from dictate.store.record_tables import Action, Finding, HerdCase
from dictate.store.tables import Animal, Farm

BETWEEN = "\x1f"
"""Stands between texts: the sign that ASCII has for it, in no term of the record."""

_OPEN = col(HerdCase.closed_on).is_(None)
_OFTEN_FIRST = (col(HerdCase.visits).desc(), col(HerdCase.first_on), col(Animal.number))


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


@without_collecting()
def herd_picture(
    session: Session,
    farm: Farm,
    *,
    since: dt.date | None = None,
    until: dt.date | None = None,
    days: int | None = YEAR,
    chronic_visits: int = 3,
    most_cases: int | None = None,
) -> HerdPicture:
    """Draw the picture of one farm over a period.

    Args:
        session: An open session.
        farm: The farm.
        since: First day; None takes so many `days` up to the last visit.
        until: Last day; None leaves the end open.
        days: Length of the period when `since` is not given; None takes everything.
        chronic_visits: Visits from which a case counts as chronic.
        most_cases: Open cases to name, those found at the most visits; None names all. All are counted.
    """
    visits = [v for v in visit_rows(session, farm_id=farm.id) if until is None or v.on <= until]
    if since is None and days is not None and visits:
        since = visits[-1].on - dt.timedelta(days=days - 1)
    if until is None and (since is None or not visits or since <= visits[0].on):
        # Everything there is: counted in columns, as twenty years of a large herd need it.
        cases, closing = _case_counts(session, farm, chronic_visits)
        still_open = _cases(session, farm, _OPEN, order=_OFTEN_FIRST, limit=most_cases)
        return draw_herd_picture(
            farm.name, visits, _columns(session, farm), open_cases=still_open, cases=cases, closing=closing,
        )  # fmt: skip
    visits = [visit for visit in visits if since is None or visit.on >= since]
    scope = Scope(farm_id=farm.id, since=since, until=until)
    return picture_of_rows(
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


def open_cases_by_visits(
    session: Session, farm: Farm, *, first: int, most: int
) -> tuple[tuple[CaseRow, ...], int]:
    """So many open cases from the `first` on, those found at the most visits leading; and how many there are."""
    of = HerdCase.__table__.c  # type: ignore[attr-defined]
    count = sa.select(sa.func.count()).where(of.farm_id == farm.id, _OPEN)
    shown = _cases(session, farm, _OPEN, order=_OFTEN_FIRST, limit=most, offset=first)
    return tuple(shown), session.execute(count).scalar_one()


def _columns(session: Session, farm: Farm) -> Columns:
    """Every finding and trim of a farm: no rows are made of them."""
    found, done = Finding.__table__.c, Action.__table__.c  # type: ignore[attr-defined]
    animals = session.exec(
        select(Animal.id, Animal.merged_into_id, Animal.number).where(Animal.farm_id == farm.id)
    ).all()
    roots = {key: root for key, root, _ in animals if root is not None}
    of_farm, trims = found.farm_id == farm.id, (done.farm_id == farm.id, done.kind.in_(TRIM_KINDS))
    dermatitis = (of_farm, found.lesion == STAGED, sa.func.coalesce(found.course, "") != "healed")
    return columns_of(
        Listed(**_listed(session, found, (of_farm,), _NUMBERS, _WORDS, roots)),
        Listed(**_listed(session, done, trims, _NUMBERS[:2], _WORDS[:1], roots)),
        _in_order(_listed(session, found, dermatitis, (*_NUMBERS[:2], *_ORDER), ("foot", "stage"), roots)),
        {key: number for key, _, number in animals},
    )  # fmt: skip


_NUMBERS = ("animal", "visit", "zone", "lactation")
_WORDS = ("foot", "claw", "lesion", "course")
_ORDER = ("entry_id", "position")
"""Of the findings of a visit: as they were said."""


def _in_order(listed: dict[str, Any]) -> Listed:
    if not listed:
        return Listed()
    order = np.lexsort([listed.pop(name) for name in reversed(_ORDER)]).tolist()
    return Listed(**{name: [one[at] for at in order] for name, one in listed.items()})


def _listed(
    session: Session,
    table: Any,
    wanted: Sequence[ColumnElement[bool]],
    numbers: Sequence[str],
    words: Sequence[str],
    roots: dict[int, int],
) -> dict[str, Any]:
    """Columns of a table, each as one text: a row of its own for each takes twice as long.

    All columns come from the same pass over the same rows, so that their places go together; none where
    there is no row.
    """
    keys = {"animal": table.animal_id, "visit": table.visit_id}
    whole = (keys.get(name, sa.func.coalesce(table.get(name), _written(NONE))) for name in numbers)
    texts = [_as_one_text(sa.cast(one, sa.String), ",") for one in whole]
    texts += [_as_one_text(sa.func.coalesce(table[name], _written("")), BETWEEN) for name in words]
    row = session.connection().execute(sa.select(*texts).where(*wanted)).one()
    if row[0] is None:
        return {}
    whole_ones, worded_ones = row[: len(numbers)], row[len(numbers) :]
    given = (np.fromstring(text, dtype=np.int64, sep=",") for text in whole_ones)
    listed: dict[str, Any] = dict(zip(numbers, given, strict=True))
    if roots:
        # A merged animal's rows stand under the one it turned out to be.
        listed["animal"] = np.array([roots.get(one, one) for one in listed["animal"].tolist()])
    split = (text.split(BETWEEN) for text in worded_ones)
    return listed | dict(zip(words, split, strict=True))


def _as_one_text(column: ColumnElement[str], between: str) -> ColumnElement[str]:
    """Every value of a column, one behind the other."""
    return sa.func.aggregate_strings(column, _written(between))  # type: ignore[arg-type]


def _written(value: int | str) -> ColumnElement[Any]:
    """A value that stands in the query itself: SQLite takes a bound one anew for every row, which costs as much as the row."""
    return sa.literal(value, literal_execute=True)


def _case_counts(session: Session, farm: Farm, chronic_visits: int) -> tuple[CaseCounts, Closing]:
    """Cases of a farm counted by the database; the days of the closed ones come as two texts."""
    of = HerdCase.__table__.c  # type: ignore[attr-defined]
    chronic, closed = of.visits >= _written(chronic_visits), of.closed_on.is_not(None)
    counted = (chronic, ~chronic & of.after_closed, ~chronic & ~of.after_closed, ~closed)
    days = (_as_one_text(sa.cast(one, sa.String), ",") for one in (of.first_on, of.closed_on))
    row = session.execute(
        sa.select(
            *(sa.func.count().filter(one) for one in counted), *(one.filter(closed) for one in days)
        ).where(of.farm_id == farm.id)
    ).one()
    often, again, new, still_open = row[:4]
    firsts, lasts = (_days(text.split(",") if text else []) for text in row[4:])
    took = np.sort((lasts - firsts).astype(int)).tolist()
    counts = CaseCounts(
        new=new, repeat=again, chronic=often, open=still_open, chronic_visits=chronic_visits
    )
    return counts, closing_of(took, still_open)


def _days(texts: Sequence[str]) -> NDArray[np.datetime64]:
    """Days of texts, of which a visit's are all the same: each is read once."""
    days = worded(texts)
    return np.array(days.names, "datetime64[D]")[days.at]


def _cases(
    session: Session,
    farm: Farm,
    *wanted: ColumnElement[bool],
    order: Sequence[Any] = (col(HerdCase.first_on), Animal.number),
    limit: int | None = None,
    offset: int = 0,
) -> list[CaseRow]:
    """Cases of a farm, in order of their first day unless another is asked for."""
    of = HerdCase.__table__.c  # type: ignore[attr-defined]
    names = [name for name in CaseRow.__dataclass_fields__ if name != "animal"]
    query = (
        select(*(of[name] for name in names), Animal.number.label("animal"))  # type: ignore[call-overload,attr-defined]
        .select_from(HerdCase)
        .join(Animal, col(Animal.id) == of.animal_id)
        .where(of.farm_id == farm.id, *wanted)
        .order_by(*order)
        .limit(limit)
        .offset(offset)
    )
    keys = [*names, "animal"]
    return [CaseRow(**dict(zip(keys, row, strict=True))) for row in session.execute(query)]
