"""The one way into the herd record and out of it, and what hangs on it: follow-ups that are done, and cases.

These are worked out afresh from all of an animal's confirmed entries, so confirming, amending, moving
and undoing them in any order ends the same.
"""

from collections.abc import Iterable
from typing import Any

from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, col, delete, insert, select, update

from dictate.entry.values import ActionValues, EntryValues, FindingValues, FollowUpValues
from dictate.record.cases import Case, cases_of
from dictate.record.follow_ups import settled_by
from dictate.store.farms import animal_by_number, one_animal
from dictate.store.names_kept import keep_names
from dictate.store.record_queries import Scope, action_rows, finding_rows, follow_up_rows
from dictate.store.record_tables import (
    RECORD_TABLES,
    Action,
    Finding,
    FollowUp,
    HerdCase,
    Locomotion,
    Measure,
    Remark,
    Status,
)
from dictate.store.states import EntryState
from dictate.store.tables import Animal, Entry, Event, Farm, Visit

FROM_LIST = "list"
"""How an entry was confirmed that came from a table of past treatments."""
EID_DIGITS = 15
"""ISO 11784: three digits of country or maker, twelve of the animal."""


def record_entry(session: Session, entry: Entry, animal: Animal | None = None) -> None:
    """Make the herd record hold exactly what an entry's state says: its rows, or none.

    Calling it twice changes nothing. An animal that the farm does not have yet is added, off the
    roster. What the entry had settled (a follow-up done) is open again when it is withdrawn. A
    follow-up that an amendment leaves as it was stays the same row, ticked off or put off. `animal` is
    the one meant, where that is known better than by the number she bears today.
    """
    before = _follow_ups(session, entry)
    _withdraw(session, entry)
    if entry.state != EntryState.CONFIRMED:
        entry.animal_id = None
        return
    values = entry.values
    visit = session.get_one(Visit, entry.visit_id)
    animal = (
        animal
        or _as_before(session, entry, visit, values.animal)
        or _animal(session, visit.farm_id, values.animal)
    )
    entry.animal_id = animal.id
    shared = {
        "entry_id": entry.id,
        "animal_id": animal.id,
        "visit_id": visit.id,
        "farm_id": visit.farm_id,
        "date": visit.date,
    }
    # What lactation she was in when something happened long ago, nobody said.
    lactation = None if entry.confirmed_how == FROM_LIST else animal.lactation
    session.add_all(_rows(values, shared, lactation))
    session.add_all(_due(values, shared, before))
    session.flush()
    settle_animal(session, animal.id)


def _follow_ups(session: Session, entry: Entry) -> list[dict[str, Any]]:
    """The entry's rows as they are, with what a person did to them since."""
    rows = session.exec(
        select(FollowUp).where(FollowUp.entry_id == entry.id).order_by(col(FollowUp.position))
    ).all()
    return [row.model_dump() for row in rows]


def _withdraw(session: Session, entry: Entry) -> None:
    for table in RECORD_TABLES:
        session.exec(delete(table).where(col(table.entry_id) == entry.id))
    session.exec(
        update(FollowUp)
        .where(col(FollowUp.done_entry_id) == entry.id)
        .values(done_entry_id=None, done_on=None, done_by=None)
    )
    if entry.animal_id is not None:
        settle_animal(session, entry.animal_id)


def _as_before(session: Session, entry: Entry, visit: Visit, number: str | None) -> Animal | None:
    """The animal of a confirmed entry whose number was not changed: hers, whoever bears it today."""
    if entry.animal_id is None:
        return None
    last = session.exec(
        select(Event.after)
        .where(Event.subject == "entry", Event.subject_id == entry.id)
        .order_by(col(Event.id).desc())
    ).first()
    if not last or last.get("state") != EntryState.CONFIRMED:
        return None
    animal = session.get_one(Animal, entry.animal_id)
    same = last.get("content", {}).get("animal") == number and animal.farm_id == visit.farm_id
    return animal if same else None


def _animal(session: Session, farm_id: int, number: str | None) -> Animal:
    if number is None:
        raise ValueError("an entry without an animal cannot be recorded")
    found = animal_by_number(session, farm_id, number)
    if found is None:
        # An animal that is known by its electronic number alone keeps it apart from its number.
        eid = number if len(number) == EID_DIGITS and number.isdecimal() else None
        found = _added(session, Animal(farm_id=farm_id, number=number, eid=eid))
    return found


def _added(session: Session, animal: Animal) -> Animal:
    """Add an animal, or find the one that another reviewer's confirmation added a moment ago."""
    try:
        with session.begin_nested():
            session.add(animal)
            session.flush()
    except IntegrityError:
        there = animal_by_number(session, animal.farm_id, animal.number)
        if there is None:
            raise
        return there
    keep_names(session, session.get_one(Farm, animal.farm_id), [animal])
    return animal


def _rows(values: EntryValues, shared: dict[str, Any], lactation: int | None) -> Iterable[Any]:
    for at, finding in enumerate(values.findings):
        yield Finding(**shared, position=at, lactation=lactation, **_facts(finding))
    for at, action in enumerate(values.actions):
        yield Action(**shared, position=at, **_facts(action))
    if values.locomotion is not None:
        yield Locomotion(**shared, position=0, **values.locomotion.model_dump())
    for at, measure in enumerate(values.measures):
        yield Measure(**shared, position=at, **measure.model_dump())
    for at, status in enumerate(values.status):
        yield Status(**shared, position=at, text=status)
    if values.remark_to_tell:
        yield Remark(**shared, position=0, text=values.remark_to_tell)


def _facts(one: FindingValues | ActionValues) -> dict[str, Any]:
    """The values without their evidence, which stays with the entry."""
    return one.model_dump(exclude={"at", "by_hand"})


def _due(
    values: EntryValues, shared: dict[str, Any], before: list[dict[str, Any]]
) -> Iterable[FollowUp]:
    """The entry's follow-ups. One of the same animal, kind and day keeps its key, tick and delay.

    For another animal or day the tick said nothing, so it is due again, under the key that it had.
    """
    same_ones = _same(values, shared, before)
    for at, follow_up in enumerate(values.follow_ups):
        was = same_ones.get(at)
        same = was if was and _told_again(was, follow_up, shared) else None
        done = same if same is not None and same["done_by"] is not None else {}
        yield FollowUp(
            **shared,
            **({"id": was["id"]} if was else {}),
            position=at,
            kind=follow_up.kind,
            feet=" ".join(follow_up.feet),
            claw=follow_up.claw,
            due_on=follow_up.date,
            in_days=follow_up.in_days,
            said_when=follow_up.when,
            snoozed_to=same["snoozed_to"] if same is not None else None,
            done_on=done.get("done_on"),
            done_by=done.get("done_by"),
        )


def _same(
    values: EntryValues, shared: dict[str, Any], before: list[dict[str, Any]]
) -> dict[int, dict[str, Any]]:
    """Place of each follow-up that was there before to what it was: as it is, or of the same kind."""
    left, found = list(before), {}
    for exactly in (True, False):
        for at, one in enumerate(values.follow_ups):
            fits = (
                row
                for row in left
                if row["kind"] == one.kind and (not exactly or _told_again(row, one, shared))
            )
            if at not in found and (row := next(fits, None)) is not None:
                found[at] = row
                left.remove(row)
    return found


def _told_again(row: dict[str, Any], one: FollowUpValues, shared: dict[str, Any]) -> bool:
    return (row["animal_id"], row["due_on"]) == (shared["animal_id"], one.date)


def settle_animal(session: Session, animal_id: int) -> None:
    """Settle the follow-ups and the cases of an animal, with those merged into it."""
    animal = session.get_one(Animal, animal_id)
    root = animal.merged_into_id or animal.id
    own = one_animal(root)
    _settle_follow_ups(session, root, own)
    session.exec(delete(HerdCase).where(col(HerdCase.animal_id).in_(own)))
    cases = cases_of(finding_rows(session, Scope(animal_id=root)))
    _insert(session, [_values(case, animal.farm_id) for case in cases])


def settle_all_cases(session: Session) -> None:
    """Work out the cases of every animal, after rows came in by the thousand."""
    session.exec(delete(HerdCase))
    for farm_id in session.exec(select(Farm.id)).all():
        cases = cases_of(finding_rows(session, Scope(farm_id=farm_id)))
        _insert(session, [_values(case, farm_id) for case in cases])


def _settle_follow_ups(session: Session, animal_id: int, own: Any) -> None:
    """Mark follow-ups done where a later entry says so; what a person ticked off stays as it is."""
    not_ticked = (col(FollowUp.animal_id).in_(own), col(FollowUp.done_by).is_(None))
    if session.exec(select(FollowUp.id).where(*not_ticked).limit(1)).first() is None:
        return
    session.exec(update(FollowUp).where(*not_ticked).values(done_entry_id=None, done_on=None))
    scope = Scope(animal_id=animal_id)
    settled = settled_by(
        follow_up_rows(session, scope), finding_rows(session, scope), action_rows(session, scope)
    )
    for one in settled:
        session.exec(
            update(FollowUp)
            .where(col(FollowUp.id) == one.follow_up_id)
            .values(done_entry_id=one.entry_id, done_on=one.on)
        )


def _insert(session: Session, values: list[dict[str, Any]]) -> None:
    if values:
        session.execute(insert(HerdCase), values)


def _values(case: Case, farm_id: int) -> dict[str, Any]:
    return {
        "animal_id": case.animal_id, "farm_id": farm_id, "name": case.name, "foot": case.foot,
        "claw": case.claw, "first_on": case.first_on, "last_on": case.last_on, "visits": case.visits,
        "course": case.course, "closed_on": case.closed_on, "after_closed": case.after_closed,
    }  # fmt: skip
