"""Visits: found by what is known of them, and which still have work to do."""

import datetime as dt
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement
from sqlmodel import Session, col, or_, select

from dictate.errors import NotFoundError
from dictate.store.farms import add_or_find, farm_by_name
from dictate.store.tables import Clip, Entry, Farm, Note, Trimmer, Visit
from dictate.texts import gettext

_VISITS_SO_FAR = 3
"""Visits that tell how well a trimmer's notes usually fit: a season old, the microphone may differ."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A visit with its farm."""

    visit: Visit
    farm: Farm


def place_of(session: Session, visit_id: int) -> Place:
    """The visit of a page's address.

    Raises:
        NotFoundError: there is none.
    """
    visit = session.get(Visit, visit_id)
    if visit is None:
        raise NotFoundError(
            gettext("there is no visit %(visit)s", visit=visit_id),
            remedy=gettext("Choose one from the list of visits"),
        )
    return Place(visit=visit, farm=session.get_one(Farm, visit.farm_id))


def visit_for(session: Session, *, farm: str, trimmer: str, date: dt.date) -> Visit:
    """The visit of one trimmer to one farm on one day; made when new, with its farm and trimmer."""
    at = farm_by_name(session, farm, make=True)
    by_name = select(Trimmer).where(Trimmer.name == trimmer)
    who = session.exec(by_name).first() or add_or_find(session, Trimmer(name=trimmer), by_name)
    query = select(Visit).where(
        Visit.farm_id == at.id, Visit.trimmer_id == who.id, Visit.date == date
    )
    made = Visit(farm_id=at.id, trimmer_id=who.id, date=date)
    return session.exec(query).first() or add_or_find(session, made, query)


def visit_by_id(session: Session, visit_id: int) -> Visit:
    """A visit that a row named."""
    return session.get_one(Visit, visit_id)


def find_visit(
    session: Session,
    *,
    farm: str | None = None,
    date: dt.date | None = None,
    trimmer: str | None = None,
) -> Visit:
    """The newest visit that fits what is given.

    Raises:
        NotFoundError: no visit fits.
    """
    query = select(Visit).join(Farm).join(Trimmer).where(still_a_visit())
    if farm is not None:
        query = query.where(Visit.farm_id == farm_by_name(session, farm).id)
    if date is not None:
        query = query.where(Visit.date == date)
    if trimmer is not None:
        query = query.where(Trimmer.name == trimmer)
    found = session.exec(query.order_by(col(Visit.date).desc(), col(Visit.id).desc())).first()
    if found is None:
        asked = ", ".join(str(part) for part in (farm, date, trimmer) if part)
        nothing = gettext("there is no visit yet for %(asked)s", asked=asked)
        raise NotFoundError(
            nothing if asked else gettext("there is no visit yet"),
            remedy=gettext("Take some sound files in first: dictate take-in PATH"),
        )
    return found


def still_a_visit() -> ColumnElement[bool]:
    """Whether a visit holds anything; one from which all was moved away is none any more."""
    return or_(
        select(Clip.id).where(Clip.visit_id == Visit.id).exists(),
        select(Entry.id).where(Entry.visit_id == Visit.id).exists(),
    )


def fits_so_far(session: Session, visit: Visit) -> list[dict[str, Any]]:
    """How well the stretches of a trimmer's notes fitted, at this visit and the few before it."""
    visits = (
        select(Visit.id)
        .where(Visit.trimmer_id == visit.trimmer_id, Visit.date <= visit.date)
        .order_by(col(Visit.date).desc(), col(Visit.id).desc())
        .limit(_VISITS_SO_FAR)
    )
    notes = session.exec(select(Note.fits).where(col(Note.visit_id).in_(visits))).all()
    return [fit for fits in notes for fit in fits]


def visits_with_work(session: Session, *, trimmer: str | None) -> list[Visit]:
    """Visits with notes that are heard or parsed and not in the queue yet."""
    query = select(Visit).where(
        col(Visit.id).in_(select(Note.visit_id).where(col(Note.state).in_(("heard", "parsed"))))
    )
    if trimmer is not None:
        query = query.join(Trimmer).where(Trimmer.name == trimmer)
    return list(session.exec(query.order_by(col(Visit.date), col(Visit.id))).all())
