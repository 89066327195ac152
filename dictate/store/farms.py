"""Farms with their trimmers and animals: found by name, by address, or the only one there is."""

from typing import TYPE_CHECKING, TypeVar

from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, SQLModel, col, or_, select
from sqlmodel.sql.expression import SelectOfScalar

from dictate.errors import ConflictError, NotFoundError, ReviewError
from dictate.settings import UNNAMED
from dictate.store.names_kept import keep_names
from dictate.store.states import AnimalStatus
from dictate.store.tables import Alias, Animal, Farm, Trimmer
from dictate.texts import gettext

if TYPE_CHECKING:
    from grammar import Roster

_T = TypeVar("_T", bound=SQLModel)


def farm_by_name(session: Session, name: str, *, make: bool = False) -> Farm:
    """Find a farm by its name, or make it.

    Raises:
        NotFoundError: there is none and `make` is false.
    """
    found = session.exec(select(Farm).where(Farm.name == name)).first()
    if found is None and not make:
        known = ", ".join(session.exec(select(Farm.name).order_by(Farm.name)).all()) or "none yet"
        raise NotFoundError(
            gettext("no farm is called %(name)s", name=repr(name)),
            remedy=gettext("Known farms: %(known)s", known=known),
        )
    if found is None:
        new = Farm(name=name)
        found = add_or_find(session, new, select(Farm).where(Farm.name == name))
        if found is new:
            keep_names(session, new)
    return found


def rename_farm(session: Session, farm: Farm, name: str, *, by: str) -> str:
    """Give a farm another name and return the one that it had; all that is of the farm stays with it.

    Raises:
        ReviewError: the name is empty.
        ConflictError: another farm has it.
    """
    name, was = name.strip(), farm.name
    if not name:
        raise ReviewError(gettext("the farm has no name"), remedy=gettext("Type one"))
    if name == was:
        return was
    if session.exec(select(Farm.id).where(Farm.name == name)).first() is not None:
        raise ConflictError(
            gettext("another farm is called %(name)s", name=repr(name)),
            remedy=gettext("Choose another name; visits of one farm under two names can be moved"),
        )
    farm.name = name
    session.flush()
    keep_names(session, farm, by=by)
    return was


def farm_at(session: Session, farm_id: int) -> Farm:
    """The farm of a page's address.

    Raises:
        NotFoundError: there is none.
    """
    farm = session.get(Farm, farm_id)
    if farm is None:
        raise NotFoundError(
            gettext("this farm is not there"), remedy=gettext("Choose one from the list")
        )
    return farm


def farm_meant(session: Session, name: str | None) -> Farm:
    """The farm of that name; without a name the only one there is.

    Raises:
        NotFoundError: there is none, or several and none was named.
    """
    if name is not None:
        return farm_by_name(session, name)
    farms = session.exec(select(Farm).limit(2)).all()
    if len(farms) != 1:
        raise NotFoundError(
            gettext("no farm was named") if farms else gettext("there is no farm yet"),
            remedy=gettext("Name it with --farm, or set `farm` in settings.toml"),
        )
    return farms[0]


def roster_of(session: Session, farm_id: int) -> "Roster | None":
    """The animals the grammar may expect at a farm; None when no roster was taken in."""
    animals = session.exec(
        select(Animal)
        .where(
            Animal.farm_id == farm_id,
            Animal.status == AnimalStatus.PRESENT,
            col(Animal.on_roster).is_(True),
            col(Animal.merged_into_id).is_(None),
        )
        .order_by(Animal.number)
    ).all()
    if not animals:
        return None
    from grammar import Roster  # noqa: PLC0415 (slow to load, and few commands need it)

    return Roster(
        numbers=tuple(animal.number for animal in animals),
        eids={animal.eid: animal.number for animal in animals if animal.eid},
        tags={animal.ear_tag: animal.number for animal in animals if animal.ear_tag},
    )


def has_roster(session: Session, farm_id: int) -> bool:
    """Whether a roster was taken in for a farm."""
    on_roster = select(Animal.id).where(Animal.farm_id == farm_id, col(Animal.on_roster).is_(True))
    return session.exec(on_roster.limit(1)).first() is not None


def animal_by_number(session: Session, farm_id: int, number: str) -> Animal | None:
    """The animal that bears a management number (or 15-digit electronic one) at a farm today.

    A number whose animal turned out to be another one means that other animal.
    """
    found = session.exec(
        select(Animal)
        .where(
            Animal.farm_id == farm_id,
            or_(Animal.number == number, Animal.eid == number),
            Animal.status == AnimalStatus.PRESENT,
        )
        .order_by(
            col(Animal.merged_into_id).is_not(None),
            col(Animal.number) != number,
            col(Animal.id).desc(),
        )
    ).first()
    return session.get(Animal, found.merged_into_id) if found and found.merged_into_id else found


def one_animal(animal_id: int) -> "SelectOfScalar[int]":
    """The ids under which an animal is known: her own, and those of animals merged into her."""
    return select(Animal.id).where(or_(Animal.id == animal_id, Animal.merged_into_id == animal_id))


def all_trimmers(session: Session) -> list[Trimmer]:
    """Everybody who ever spoke a note, by name."""
    return list(session.exec(select(Trimmer).order_by(Trimmer.name)))


def name_the_unnamed(session: Session, name: str) -> None:
    """Give the notes of somebody without a name to the name that the settings got."""
    unnamed = session.exec(select(Trimmer).where(Trimmer.name == UNNAMED)).first()
    taken = session.exec(select(Trimmer).where(Trimmer.name == name)).first()
    if unnamed is not None and taken is None:
        unnamed.name = name
        session.add(unnamed)


def aliases_of(session: Session, trimmer_id: int) -> dict[str, str]:
    """What a trimmer taught: heard words to term."""
    rows = session.exec(select(Alias).where(Alias.trimmer_id == trimmer_id)).all()
    return {row.heard: row.term for row in rows}


def add_or_find(session: Session, row: _T, query: SelectOfScalar[_T]) -> _T:
    """Write a new row, or find the one that another program wrote a moment earlier."""
    try:
        with session.begin_nested():
            session.add(row)
            session.flush()
    except IntegrityError:
        return session.exec(query).one()
    return row
