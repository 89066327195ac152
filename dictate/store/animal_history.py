"""What was confirmed of one animal, and through which entries."""

import datetime as dt
from dataclasses import dataclass

from sqlmodel import Session, col, or_, select

from dictate.entry.values import EntryValues
from dictate.entry.wording import say_entry
from dictate.errors import NotFoundError
from dictate.store.farms import farm_by_name, one_animal
from dictate.store.states import AnimalStatus, EntryState
from dictate.store.tables import Animal, Entry, Farm, Trimmer, Visit


@dataclass(frozen=True, slots=True, kw_only=True)
class AnimalVisit:
    """One confirmed entry."""

    date: dt.date
    entry_id: int
    said: str
    """The entry as plain words."""
    source: str
    """Who spoke it, or `from FILE` for a row of a list."""
    values: EntryValues


@dataclass(frozen=True, slots=True, kw_only=True)
class AnimalHistory:
    """All confirmed entries of an animal, newest first."""

    farm: str
    number: str
    eid: str | None
    ear_tag: str | None
    status: str
    visits: tuple[AnimalVisit, ...]


def find_animal(session: Session, number: str, *, farm: str | None = None) -> Animal:
    """Find an animal by management number, ear tag or electronic number; present ones first.

    Raises:
        NotFoundError: no farm has it, or several have and none was named.
    """
    query = select(Animal).where(
        or_(Animal.number == number, Animal.ear_tag == number, Animal.eid == number)
    )
    if farm is not None:
        query = query.where(Animal.farm_id == farm_by_name(session, farm).id)
    found = session.exec(query.order_by(col(Animal.id).desc())).all()
    if not found:
        raise NotFoundError(
            f"no animal {number!r} is known{f' at {farm}' if farm else ''}",
            remedy="An animal is known once an entry is confirmed or a roster was taken in",
        )
    if len({animal.farm_id for animal in found}) > 1:
        raise NotFoundError(
            f"several farms have an animal {number!r}", remedy="Name the farm with --farm"
        )
    best = min(found, key=lambda animal: animal.status != AnimalStatus.PRESENT)
    return session.get_one(Animal, best.merged_into_id) if best.merged_into_id else best


def animal_history(session: Session, number: str, *, farm: str | None = None) -> AnimalHistory:
    """Collect the history of an animal, and of those merged into it.

    Raises:
        NotFoundError: no animal fits, or several.
    """
    animal = find_animal(session, number, farm=farm)
    rows = session.exec(
        select(Entry, col(Visit.date), col(Trimmer.name))
        .join(Visit, col(Visit.id) == col(Entry.visit_id))
        .join(Trimmer, col(Trimmer.id) == col(Visit.trimmer_id))
        .where(Entry.state == EntryState.CONFIRMED, col(Entry.animal_id).in_(one_animal(animal.id)))
        .order_by(col(Visit.date).desc(), col(Entry.id).desc())
    ).all()
    return AnimalHistory(
        farm=session.get_one(Farm, animal.farm_id).name,
        number=animal.number,
        eid=animal.eid,
        ear_tag=animal.ear_tag,
        status=animal.status,
        visits=tuple(_visit(*row) for row in rows),
    )


def _visit(entry: Entry, date: dt.date, source: str) -> AnimalVisit:
    values = entry.values
    return AnimalVisit(
        date=date, entry_id=entry.id, said=say_entry(values), source=source, values=values
    )
