"""Keeps follow-ups in step with the record: what a later confirmed entry settles is done."""

from sqlmodel import Session, col, or_, select, update

from dictate.record.settling import settled_by
from dictate.store.record_queries import Scope, action_rows, finding_rows, follow_up_rows
from dictate.store.record_tables import FollowUp
from dictate.store.tables import Animal

__all__ = ["settle_follow_ups"]


def settle_follow_ups(session: Session, animal_id: int) -> int:
    """Mark an animal's follow-ups done where a later entry says so; return how many are.

    It looks at all of the animal's entries afresh, so confirming, amending and undoing them in any
    order ends the same. What a person ticked off stays as it is.
    """
    own = select(Animal.id).where(or_(Animal.id == animal_id, Animal.merged_into_id == animal_id))
    not_ticked = (col(FollowUp.animal_id).in_(own), col(FollowUp.done_by).is_(None))
    if session.exec(select(FollowUp.id).where(*not_ticked).limit(1)).first() is None:
        return 0
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
    return len(settled)
