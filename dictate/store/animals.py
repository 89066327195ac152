"""Animals of a farm: two that turn out to be one, and those that leave."""

from collections.abc import Iterator
from contextlib import contextmanager

from sqlmodel import Session, col, select

from dictate.errors import ConflictError, NotFoundError
from dictate.store.history import STANDS, new_act, write_event
from dictate.store.record_entry import settle_animal
from dictate.store.states import AnimalStatus
from dictate.store.tables import Animal, Event, Farm
from dictate.texts import gettext


def merge_animals(
    session: Session, other_id: int, into_id: int, *, by: str, act: str | None = None
) -> Animal:
    """Note that one animal is another; its history then shows under that one.

    No row of the record is rewritten, so that `undo_merge` loses nothing. `act` names the act that
    it is part of, when it is one.

    Raises:
        NotFoundError: one of them is not there.
        ConflictError: they are the same, of two farms, or one is merged already.
    """
    other, into = _animal(session, other_id), _animal(session, into_id)
    if other.id == into.id:
        raise ConflictError(gettext("%(number)s is that animal already", number=other.number))
    if other.farm_id != into.farm_id:
        raise ConflictError(
            gettext("the two are of different farms"), remedy=gettext("Merge within one farm only")
        )
    for animal in (other, into):
        if animal.merged_into_id is not None:
            raise ConflictError(
                gettext("%(number)s is merged already", number=animal.number),
                remedy=gettext("Undo that merge first"),
            )
    if other.eid and into.eid and other.eid != into.eid:
        raise ConflictError(
            gettext(
                "%(number)s and %(other)s have different electronic numbers: %(eid)s, %(other_eid)s",
                number=other.number,
                other=into.number,
                eid=other.eid,
                other_eid=into.eid,
            ),
            remedy=gettext("Correct the roster first if one of them is wrong"),
        )
    # What was merged into the other one goes on to the new one; undoing gives it back.
    carried = session.exec(select(Animal).where(Animal.merged_into_id == other.id)).all()
    act = act or new_act()
    for animal in (other, *carried):
        with telling(session, animal, kind="merged", by=by, act=act):
            animal.merged_into_id = into.id
    session.flush()
    settle_animal(session, into.id)
    return into


def undo_merge(session: Session, animal_id: int, *, by: str) -> Animal:
    """Part an animal again from the one it was merged into.

    Raises:
        NotFoundError: there is no such animal.
        ConflictError: it is not merged.
    """
    animal = _animal(session, animal_id)
    if animal.merged_into_id is None:
        raise ConflictError(gettext("%(number)s is not merged", number=animal.number))
    into_id = animal.merged_into_id
    newest = session.exec(
        select(Event)
        .where(
            Event.subject == "animal",
            Event.subject_id == animal_id,
            Event.kind == "merged",
            STANDS,
        )
        .order_by(col(Event.id).desc())
    ).first()
    events = (
        session.exec(select(Event).where(Event.act == newest.act, Event.kind == "merged")).all()
        if newest
        else []
    )
    act = new_act()
    for event in events:
        part = _animal(session, event.subject_id)
        with telling(session, part, kind="merge undone", by=by, act=act, undoes=event.id):
            part.merged_into_id = (event.before or {}).get("merged_into_id")
    session.flush()
    for one in {into_id, animal_id, *(event.subject_id for event in events)}:
        settle_animal(session, one)
    return animal


def set_status(session: Session, animal_id: int, status: AnimalStatus, *, by: str) -> Animal:
    """Note that an animal was sold, died, left the roster or is back; its history stays.

    Raises:
        NotFoundError: there is no such animal.
        ConflictError: another animal bears its number now.
    """
    animal = _animal(session, animal_id)
    if status == AnimalStatus.PRESENT and animal.status != AnimalStatus.PRESENT:
        taken = select(Animal).where(
            Animal.farm_id == animal.farm_id,
            Animal.number == animal.number,
            Animal.status == AnimalStatus.PRESENT,
            col(Animal.merged_into_id).is_(None),
        )
        if session.exec(taken).first() is not None:
            raise ConflictError(
                gettext("another animal bears the number %(number)s now", number=animal.number),
                remedy=gettext("Give one of them another number in the roster first"),
            )
    with telling(session, animal, kind="status", by=by, act=new_act()):
        animal.status = status
    session.flush()
    return animal


def animal_to_part(session: Session, farm: Farm, number: str) -> int:
    """Return the id of the merged animal that bore a number.

    Raises:
        NotFoundError: no animal of the farm with this number is merged.
    """
    merged = select(Animal.id).where(
        Animal.farm_id == farm.id, Animal.number == number, col(Animal.merged_into_id).is_not(None)
    )
    found = session.exec(merged.order_by(col(Animal.id).desc())).first()
    if found is None:
        raise NotFoundError(
            gettext(
                "no animal %(number)s is merged at %(farm)s", number=repr(number), farm=farm.name
            )
        )
    return found


def _animal(session: Session, animal_id: int) -> Animal:
    found = session.get(Animal, animal_id)
    if found is None:
        raise NotFoundError(
            gettext("there is no animal %(animal)s", animal=animal_id),
            remedy=gettext("`dictate roster list` lists them"),
        )
    return found


@contextmanager
def telling(
    session: Session, animal: Animal, *, kind: str, by: str, act: str, undoes: int | None = None
) -> Iterator[None]:
    """Write one event about what the block changes in an animal."""
    before = animal.model_dump(mode="json")
    yield
    after = animal.model_dump(mode="json")
    write_event(
        session, animal, kind=kind, who=by, act=act, before=before, after=after, undoes=undoes
    )
