"""Farms and visits at a glance: frozen rows for the pages that one starts from."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from sqlalchemy import ColumnElement, func, true
from sqlmodel import Session, col, select

from dictate.settings import named
from dictate.store.record_tables import FollowUp
from dictate.store.states import AnimalStatus, NoteState
from dictate.store.tables import Animal, Clip, Entry, Farm, Note, Trimmer, Visit
from dictate.store.visits import still_a_visit


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitLine:
    """One visit."""

    id: int
    date: dt.date
    farm_id: int
    farm: str
    trimmer: str
    whole_herd: bool | None
    counts: Mapping[str, int] = field(default_factory=dict)
    """Entries by state: waiting, confirmed, rejected."""
    unheard: int = 0
    """Clips that were taken in and not heard yet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FarmLine:
    """One farm."""

    id: int
    name: str
    on_roster: int
    """Animals on its roster that are present."""
    animals: int
    """All animals that are present."""
    visits: int
    last_on: dt.date | None
    waiting: int
    """Entries that wait for review."""
    due: int
    """Open follow-ups up to a day, undated ones left out."""


def waiting_visits(session: Session) -> list[VisitLine]:
    """Visits with entries that wait or clips that were not heard, newest first."""
    notes = select(Note.visit_id).where(Note.state == NoteState.WAITING)
    clips = (
        select(Clip.visit_id)
        .outerjoin(Note, col(Note.clip_id) == Clip.id)
        .where(col(Note.id).is_(None))
    )
    return _lines(session, col(Visit.id).in_(notes) | col(Visit.id).in_(clips))


def visit_lines(
    session: Session, *, farm_id: int | None = None, visit_id: int | None = None,
    skip: int = 0, most: int = 40,
) -> list[VisitLine]:  # fmt: skip
    """Visits, newest first; of one farm, or one alone, when asked for."""
    wanted: ColumnElement[bool] = still_a_visit() if visit_id is None else true()
    if farm_id is not None:
        wanted &= col(Visit.farm_id) == farm_id
    if visit_id is not None:
        wanted &= col(Visit.id) == visit_id
    return _lines(session, wanted, skip=skip, most=most)


def unheard_count(session: Session) -> int:
    """Clips that were taken in and not heard yet."""
    return session.exec(
        select(func.count(col(Clip.id)))
        .outerjoin(Note, col(Note.clip_id) == Clip.id)
        .where(col(Note.id).is_(None))
    ).one()


def farm_lines(
    session: Session, *, due_until: dt.date, farm_id: int | None = None
) -> list[FarmLine]:
    """Farms by name, or one alone."""
    farms = select(Farm).order_by(Farm.name)
    if farm_id is not None:
        farms = farms.where(Farm.id == farm_id)
    present = [col(Animal.status) == AnimalStatus.PRESENT, col(Animal.merged_into_id).is_(None)]
    animals = _counted(session, Animal.farm_id, *present)
    roster = _counted(session, Animal.farm_id, *present, col(Animal.on_roster).is_(True))
    day = func.coalesce(FollowUp.snoozed_to, FollowUp.due_on)
    due = _counted(session, FollowUp.farm_id, col(FollowUp.done_on).is_(None), day <= due_until)
    visits = {
        farm: (count, last)
        for farm, count, last in session.exec(
            select(Visit.farm_id, func.count(), func.max(Visit.date))
            .where(still_a_visit())
            .group_by(col(Visit.farm_id))
        ).all()
    }
    waiting = dict(
        session.exec(
            select(Visit.farm_id, func.count(col(Entry.id)))
            .join(Entry, col(Entry.visit_id) == Visit.id)
            .where(Entry.state == "waiting")
            .group_by(col(Visit.farm_id))
        ).all()
    )
    return [
        FarmLine(
            id=farm.id,
            name=farm.name,
            on_roster=roster.get(farm.id, 0),
            animals=animals.get(farm.id, 0),
            visits=visits.get(farm.id, (0, None))[0],
            last_on=visits.get(farm.id, (0, None))[1],
            waiting=waiting.get(farm.id, 0),
            due=due.get(farm.id, 0),
        )
        for farm in session.exec(farms).all()
    ]


def _counted(session: Session, by: int, *wanted: ColumnElement[bool] | bool) -> dict[int, int]:
    query = select(col(by), func.count()).where(*wanted).group_by(col(by))
    return dict(session.exec(query).all())


def _lines(
    session: Session, wanted: ColumnElement[bool], *, skip: int = 0, most: int = 200
) -> list[VisitLine]:
    rows: Sequence[tuple[Visit, str, str]] = session.exec(
        select(Visit, Farm.name, Trimmer.name)
        .join(Farm, col(Farm.id) == Visit.farm_id)
        .join(Trimmer, col(Trimmer.id) == Visit.trimmer_id)
        .where(wanted)
        .order_by(col(Visit.date).desc(), col(Visit.id).desc())
        .offset(skip)
        .limit(most)
    ).all()
    ids = [visit.id for visit, *_ in rows]
    counted: dict[int, dict[str, int]] = {}
    for visit_id, state, number in session.exec(
        select(Entry.visit_id, Entry.state, func.count())
        .where(col(Entry.visit_id).in_(ids))
        .group_by(col(Entry.visit_id), col(Entry.state))
    ).all():
        counted.setdefault(visit_id, {})[state] = number
    unheard = dict(
        session.exec(
            select(Clip.visit_id, func.count())
            .outerjoin(Note, col(Note.clip_id) == Clip.id)
            .where(col(Clip.visit_id).in_(ids), col(Note.id).is_(None))
            .group_by(col(Clip.visit_id))
        ).all()
    )
    return [
        VisitLine(
            id=visit.id,
            date=visit.date,
            farm_id=visit.farm_id,
            farm=farm,
            trimmer=named(trimmer),
            whole_herd=visit.whole_herd,
            counts=counted.get(visit.id, {}),
            unheard=unheard.get(visit.id, 0),
        )
        for visit, farm, trimmer in rows
    ]
