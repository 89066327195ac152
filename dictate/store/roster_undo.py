"""Taking a list of animals back: everything that it did, as one act, and nothing of what came after."""

import datetime as dt
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, Field
from sqlmodel import Session, col, delete, func, select, union

from dictate.errors import ConflictError, NotFoundError
from dictate.store.animals import telling, undo_merge
from dictate.store.history import STANDS, new_act, write_event
from dictate.store.record_tables import RECORD_TABLES
from dictate.store.roster_writing import TAKEN_IN
from dictate.store.states import AnimalStatus
from dictate.store.tables import Animal, Entry, Event, Farm
from dictate.texts import gettext

TAKEN_BACK = "roster taken back"
_GIVEN = ("eid", "ear_tag", "name", "lactation", "calved_on", "dried_off_on")
_DATES = ("calved_on", "dried_off_on")


class TakenIn(BaseModel, frozen=True):
    """A list that was taken in and not taken back."""

    event_id: int
    act: str
    at: dt.datetime
    who: str
    file: str
    """Name of the file; empty where nobody said it."""
    did: dict[str, int]
    """As `RosterChange` counts it."""
    added: list[tuple[int, int]]
    """First and last id of each run of new animals."""


class RosterUndone(BaseModel):
    """What taking a list back did, in animals."""

    listed: TakenIn = Field(exclude=True)
    """The list."""
    removed: int = 0
    """New ones of the list, about which nothing else is known."""
    kept: int = 0
    """New ones of the list with entries: they stay, known from the notes only."""
    put_back: int = 0
    """As they were before the list."""


def newest_roster(session: Session, farm: Farm) -> TakenIn | None:
    """The newest list of a farm that still stands."""
    event = session.exec(
        select(Event)
        .where(Event.subject == "farm", Event.subject_id == farm.id, Event.kind == TAKEN_IN, STANDS)
        .order_by(col(Event.id).desc())
    ).first()
    if event is None:
        return None
    told: dict[str, Any] = event.after or {}
    return TakenIn(event_id=event.id, act=event.act, at=event.at, who=event.who, **told)


def undo_roster(session: Session, farm: Farm, *, by: str) -> RosterUndone:
    """Take the newest list of a farm back; doing it again takes back the one before.

    What was changed since by somebody else stays: only values that still are as the list left them
    go back. A new animal that has entries by now keeps them.

    Raises:
        NotFoundError: no list stands.
        ConflictError: an animal that would be back has lost her number to one with entries; nothing
            is changed.
    """
    listed = newest_roster(session, farm)
    if listed is None:
        raise NotFoundError(
            gettext("no list of %(farm)s was taken in that could be taken back", farm=farm.name)
        )
    act, done = new_act(), RosterUndone(listed=listed)
    _take_new_ones_back(session, listed, done, by=by, act=act)
    herd = session.exec(select(Animal).where(Animal.farm_id == farm.id)).all()
    changed = _to_put_back(session, herd, listed)
    for one in changed:
        one.animal.number = f"~{one.animal.id}"  # set aside, so that numbers can change hands
    session.flush()
    for event in _still_standing(session, listed.act, "merged"):
        if session.get_one(Animal, event.subject_id).merged_into_id is not None:
            undo_merge(session, event.subject_id, by=by)
    _refuse_two_of_one_number(herd, changed)
    _put_back(session, changed, by=by, act=act)
    done.put_back = len(changed)
    write_event(
        session, farm, kind=TAKEN_BACK, who=by, act=act,
        before={"file": listed.file}, after=done.model_dump(), undoes=listed.event_id,
    )  # fmt: skip
    session.flush()
    return done


def _still_standing(session: Session, act: str, kind: str) -> Sequence[Event]:
    return session.exec(
        select(Event)
        .where(Event.act == act, Event.kind == kind, STANDS)
        .order_by(col(Event.id).desc())
    ).all()


def _take_new_ones_back(
    session: Session, listed: TakenIn, done: RosterUndone, *, by: str, act: str
) -> None:
    for first, last in listed.added:
        within = col(Animal.id).between(first, last)
        used = set(session.exec(_used(first, last)).scalars())
        count = session.exec(select(func.count()).select_from(Animal).where(within)).one()
        for animal_id in sorted(used):
            animal = session.get_one(Animal, animal_id)
            with telling(session, animal, kind=TAKEN_BACK, by=by, act=act):
                for name in _GIVEN:
                    setattr(animal, name, None)
                animal.on_roster = False
        done.kept += len(used)
        done.removed += count - len(used)
        session.flush()
        session.exec(delete(Animal).where(within, col(Animal.id).not_in(_used(first, last))))


def _used(first: int, last: int) -> Any:
    """New animals that something else speaks of."""
    ids = [col(Entry.animal_id), *(col(table.animal_id) for table in RECORD_TABLES)]
    ids.append(col(Animal.merged_into_id))
    queries = [select(one).where(one.between(first, last)) for one in ids]
    # What was done and undone says nothing of her.
    told = select(Event.subject_id).where(
        Event.subject == "animal", col(Event.subject_id).between(first, last),
        col(Event.undoes_id).is_(None), STANDS,
    )  # fmt: skip
    return union(*queries, told)


@dataclass(frozen=True, slots=True)
class _Back:
    """An animal and the values that go back."""

    animal: Animal
    before: dict[str, Any]
    """As it stands before this."""
    values: dict[str, Any]
    event_id: int

    def will(self, name: str) -> Any:
        return self.values.get(name, self.before[name])


def _to_put_back(session: Session, herd: Sequence[Animal], listed: TakenIn) -> list[_Back]:
    by_id = {animal.id: animal for animal in herd}
    changed = []
    for event in _still_standing(session, listed.act, "roster"):
        was, left = event.before or {}, event.after or {}
        animal = by_id[event.subject_id]
        now = animal.model_dump(mode="json")
        values = {
            name: value
            for name, value in was.items()
            if value != left.get(name) and now[name] == left.get(name)
        }
        if values:
            changed.append(_Back(animal, now, values, event.id))
    return changed


def _put_back(session: Session, changed: Sequence[_Back], *, by: str, act: str) -> None:
    for one in changed:
        for name, value in {"number": one.before["number"], **one.values}.items():
            of_day = name in _DATES and value is not None
            setattr(one.animal, name, dt.date.fromisoformat(value) if of_day else value)
    session.flush()
    for one in changed:
        write_event(
            session, one.animal, kind=TAKEN_BACK, who=by, act=act,
            before=one.before, after=one.animal.model_dump(mode="json"), undoes=one.event_id,
        )  # fmt: skip


def _refuse_two_of_one_number(herd: Sequence[Animal], changed: Sequence[_Back]) -> None:
    """Of animals that are there, no two may bear one number in the end."""
    mine = {one.animal.id for one in changed}
    numbers = Counter(
        animal.number
        for animal in herd
        if animal.id not in mine
        and animal.status == AnimalStatus.PRESENT
        and animal.merged_into_id is None
    )
    numbers.update(
        one.will("number")
        for one in changed
        if one.will("status") == AnimalStatus.PRESENT and one.animal.merged_into_id is None
    )
    taken = sorted(number for number, count in numbers.items() if count > 1)
    if taken:
        raise ConflictError(
            gettext(
                "%(names)s: another animal bears this number since", names=", ".join(taken[:5])
            ),
            remedy=gettext("Undo or move what was noted of that one first. Nothing was taken back"),
        )
