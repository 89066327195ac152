"""Keeps what hangs on the record in step with it: follow-ups that are done, and cases.

Both are worked out afresh from all of an animal's confirmed entries, so confirming, amending, moving
and undoing them in any order ends the same.
"""

from typing import Any

from sqlmodel import Session, col, delete, insert, or_, select, update

from dictate.record.cases import Case, cases_of
from dictate.record.settling import settled_by
from dictate.store.record_queries import Scope, action_rows, finding_rows, follow_up_rows
from dictate.store.record_tables import FollowUp, HerdCase
from dictate.store.tables import Animal, Farm


def settle_animal(session: Session, animal_id: int) -> None:
    """Settle the follow-ups and the cases of an animal, with those merged into it."""
    animal = session.get_one(Animal, animal_id)
    root = animal.merged_into_id or animal.id
    own = select(Animal.id).where(or_(Animal.id == root, Animal.merged_into_id == root))
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
