"""Looking for animals of a farm, by what was typed or by what is due, and their past entries."""

import datetime as dt
from collections.abc import Collection

from sqlalchemy import func, or_
from sqlmodel import Session, col, select

from dictate.errors import NotFoundError
from dictate.store.farms import one_animal
from dictate.store.record_tables import FollowUp
from dictate.store.states import EntryState
from dictate.store.tables import Animal, Entry, Visit


def animal_at(session: Session, animal_id: int) -> Animal:
    """An animal by its key; of one that was joined to another, the other.

    Raises:
        NotFoundError: there is none.
    """
    found = session.get(Animal, animal_id)
    if found is None:
        raise NotFoundError("this animal is not there", remedy="Look it up by its number")
    return session.get_one(Animal, found.merged_into_id) if found.merged_into_id else found


def joined_to(session: Session, animal_id: int) -> list[Animal]:
    """Animals that were said to be this one, by number."""
    rows = select(Animal).where(Animal.merged_into_id == animal_id).order_by(Animal.number)
    return list(session.exec(rows).all())


def numbers_like(session: Session, farm_id: int, typed: str, *, most: int) -> list[str]:
    """Numbers of a farm that begin with, or hold, what was typed so far."""
    if not typed:
        return []
    number = col(Animal.number)
    query = (
        select(Animal.number)
        .where(Animal.farm_id == farm_id, number.contains(typed, autoescape=True))
        .order_by(~number.startswith(typed, autoescape=True), func.length(Animal.number))
        .limit(most)
    )
    return list(session.exec(query))


def search_animals(
    session: Session, farm_id: int, *, find: str, show: str, first: int, most: int
) -> list[Animal]:
    """Animals by number, 9 before 10, from the `first` on.

    find: held by number, tag, electronic number or name; show: `due` (something open), `new` (not on
    the roster), `seen` (at the last visit), else all.
    """
    query = select(Animal).where(Animal.farm_id == farm_id, col(Animal.merged_into_id).is_(None))
    if find:
        columns = (Animal.number, Animal.ear_tag, Animal.eid, Animal.name)
        query = query.where(or_(*(col(one).contains(find, autoescape=True) for one in columns)))
    if show == "due":
        open_ones = select(FollowUp.animal_id).where(col(FollowUp.done_on).is_(None))
        query = query.where(col(Animal.id).in_(open_ones))
    elif show == "new":
        query = query.where(col(Animal.on_roster).is_(False))
    elif show == "seen":
        last = select(func.max(Visit.id)).where(Visit.farm_id == farm_id).scalar_subquery()
        query = query.where(
            col(Animal.id).in_(select(Entry.animal_id).where(Entry.visit_id == last))
        )
    # By length first, so that 9 stands before 10 and 10 before 100.
    order = (func.length(Animal.number), col(Animal.number))
    return list(session.exec(query.order_by(*order).offset(first).limit(most)))


def last_seen(session: Session, animals: Collection[int]) -> dict[int, dt.date]:
    """Day of the last visit with something confirmed of each animal, or of one joined to it."""
    whose = func.coalesce(Animal.merged_into_id, Animal.id)
    rows = (
        select(whose, func.max(Visit.date))
        .join(Entry, col(Entry.animal_id) == Animal.id)
        .join(Visit, col(Visit.id) == Entry.visit_id)
        .where(
            Entry.state == EntryState.CONFIRMED,
            or_(col(Animal.id).in_(animals), col(Animal.merged_into_id).in_(animals)),
        )
        .group_by(whose)
    )
    return dict(session.exec(rows).all())


def confirmed_entries(
    session: Session, animal: Animal, *, first: int, most: int
) -> tuple[list[tuple[Entry, dt.date]], int]:
    """Confirmed entries of an animal and of those joined to it, newest visit first, with their days.

    So many visits from the `first` on, whole; and how many visits there are.
    """
    of_it = (Entry.state == EntryState.CONFIRMED, col(Entry.animal_id).in_(one_animal(animal.id)))
    newest = (col(Visit.date).desc(), col(Visit.id).desc())
    visits = session.exec(
        select(Visit.id)
        .where(col(Visit.id).in_(select(Entry.visit_id).where(*of_it)))
        .order_by(*newest)
    ).all()
    rows = session.exec(
        select(Entry, col(Visit.date))
        .join(Visit, col(Visit.id) == Entry.visit_id)
        .where(*of_it, col(Entry.visit_id).in_(visits[first : first + most]))
        .order_by(*newest, col(Entry.id))
    )
    return list(rows), len(visits)
