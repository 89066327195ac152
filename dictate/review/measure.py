"""How the evening goes: how long the queue takes, and how much has to be corrected over time."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median
from typing import Any

from sqlalchemy import and_, case, distinct, exists, func
from sqlmodel import Session, col, select

from dictate.store.tables import Entry, Event, Farm, Visit

_DECIDED = ("confirmed", "rejected")
_RECENT = 200
_LOOKED_AT = 500
"""Newest events among which a person's decisions are looked for."""
_LONGEST = 180.0
"""A longer gap between two decisions was a pause, not work."""
_FEWEST = 10
"""Below so many timed decisions the guess below is used."""
_GUESS_MARKED = 20.0
_GUESS_PLAIN = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """Seconds for one entry."""

    marked: float
    plain: float
    measured: bool
    """False: a guess, because too few decisions were made yet."""

    def seconds(self, *, marked: int, plain: int) -> float:
        """Time for a queue with so many entries that have marks and that have none."""
        return self.marked * marked + self.plain * plain


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewOfVisit:
    """What was corrected at one visit."""

    visit_id: int
    date: dt.date
    farm: str
    notes: int
    """Notes with at least one entry."""
    entries: int
    decided: int
    """Entries confirmed or rejected."""
    amended: int
    """Entries that a person changed or typed anew; one whose only change was undone counts once
    it is decided."""
    rejected: int
    confirmed_together: int
    """Entries confirmed by one act for all without marks."""

    @property
    def per_note(self) -> float | None:
        """Corrected or rejected entries for each note; None without notes."""
        return (self.amended + self.rejected) / self.notes if self.notes else None


def pace_of(session: Session, who: str) -> Pace:
    """How fast a person decided lately: the median time between two decisions."""
    marks = col(Event.before)["content"]["marks"].as_string().label("marks")
    newest = (
        select(Event.id, Event.at, Event.act, Event.who, Event.subject, Event.kind, marks)  # type: ignore[call-overload]
        .order_by(col(Event.id).desc())
        .limit(_LOOKED_AT)
        .subquery()
    )
    rows = session.execute(
        select(newest.c.at, newest.c.marks, newest.c.act)
        .where(newest.c.who == who, newest.c.subject == "entry", newest.c.kind.in_(_DECIDED))
        .order_by(newest.c.id.desc())
        .limit(_RECENT)
    ).all()
    decided = [(at, bool(marks) and marks != "[]", act) for at, marks, act in rows]
    gaps = list(_gaps(decided[::-1]))
    if len(gaps) < _FEWEST:
        return Pace(marked=_GUESS_MARKED, plain=_GUESS_PLAIN, measured=False)
    every = median(seconds for seconds, _ in gaps)
    return Pace(
        marked=median([seconds for seconds, marked in gaps if marked] or [every]),
        plain=median([seconds for seconds, marked in gaps if not marked] or [every]),
        measured=True,
    )


def reviews_by_visit(
    session: Session, *, since: dt.date | None = None, newest: int | None = None
) -> list[ReviewOfVisit]:
    """Corrections of visits with entries, oldest first: of all, or of so many newest visits."""
    changed = (
        exists()
        .where(
            col(Event.subject) == "entry",
            col(Event.subject_id) == Entry.id,
            col(Event.kind).in_(("amended", "typed")),
        )
        .correlate(Entry)
    )
    query = (
        select(  # type: ignore[call-overload]
            Visit.id,
            Visit.date,
            Farm.name,
            func.count(distinct(col(Entry.note_id))),
            func.count(col(Entry.id)),
            func.sum(case((col(Entry.state) == "waiting", 0), else_=1)),
            func.sum(case((and_(col(Entry.touched), changed), 1), else_=0)),
            func.sum(case((col(Entry.state) == "rejected", 1), else_=0)),
            func.sum(case((col(Entry.confirmed_how) == "unmarked", 1), else_=0)),
        )
        .join(Entry, col(Entry.visit_id) == Visit.id)
        .join(Farm, col(Farm.id) == Visit.farm_id)
        .group_by(col(Visit.id), col(Visit.date), col(Farm.name))
        .order_by(col(Visit.date), col(Visit.id))
    )
    if newest is not None:
        last = select(Visit.id).order_by(col(Visit.date).desc(), col(Visit.id).desc()).limit(newest)
        query = query.where(col(Visit.id).in_(session.exec(last).all()))
    if since is not None:
        query = query.where(Visit.date >= since)
    names = "visit_id date farm notes entries decided amended rejected confirmed_together".split()
    return [
        ReviewOfVisit(**_counted(dict(zip(names, row, strict=True))))
        for row in session.execute(query)
    ]


def _counted(row: dict[str, Any]) -> dict[str, Any]:
    """A visit without decisions has sums of nothing, which are zero."""
    return {name: value or 0 for name, value in row.items()}


def _gaps(decided: Sequence[tuple[dt.datetime, bool, str]]) -> Iterable[tuple[float, bool]]:
    """Seconds before each decision that was an act of its own, and whether it had marks."""
    for (before, _, act_before), (at, marked, act) in pairwise(decided):
        seconds = (at - before).total_seconds()
        if act != act_before and 0 < seconds <= _LONGEST:
            yield seconds, marked
