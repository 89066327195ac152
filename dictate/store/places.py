"""Farms and visits as pages and commands ask for them: by address, by name, or the only one."""

from dataclasses import dataclass

from sqlmodel import Session, col, select

from dictate.errors import NotFoundError
from dictate.settings import UNNAMED
from dictate.store.queries import farm_by_name
from dictate.store.tables import Clip, Entry, Farm, Note, Trimmer, Visit
from dictate.texts import gettext


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


def all_farms(session: Session) -> list[Farm]:
    """Every farm by name."""
    return list(session.exec(select(Farm).order_by(Farm.name)))


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


def clip_at(session: Session, clip_id: int) -> Clip:
    """A clip by its key.

    Raises:
        NotFoundError: there is none.

    """
    clip = session.get(Clip, clip_id)
    if clip is None:
        raise NotFoundError(gettext("there is no clip %(clip)s", clip=clip_id))
    return clip


def entries_of_visit(session: Session, visit_id: int) -> list[Entry]:
    """Every entry of a visit, whatever became of it, in the order in which they were spoken."""
    query = (
        select(Entry)
        .join(Note, col(Note.id) == Entry.note_id)
        .where(Entry.visit_id == visit_id)
        .order_by(col(Note.id), col(Entry.position))
    )
    return list(session.exec(query))
