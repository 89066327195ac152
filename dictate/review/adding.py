"""Adding an entry beside another one of the same note, so that undoing the act takes it away again."""

from typing import Any

from sqlmodel import Session, col, func, select

from dictate.store.history import changing, tell
from dictate.store.tables import Entry, EntryState

__all__ = ["add_beside"]


def add_beside(
    session: Session, of: Entry, content: dict[str, Any], *, reason: str, by: str, act: str
) -> Entry:
    """Queue a new entry of the same note; `reason` is why it is discarded once the act is undone.

    It begins as rejected and is then brought in, so that its history has a step to take back.
    """
    last = session.exec(
        select(func.max(col(Entry.position))).where(Entry.note_id == of.note_id)
    ).one()
    made = Entry(
        note_id=of.note_id,
        visit_id=of.visit_id,
        position=last + 1,
        state=EntryState.REJECTED,
        reason=reason,
        touched=True,
        content=content,
    )
    session.add(made)
    session.flush()
    tell(session, made, kind="queued", who=by, act=act, before=None)
    with changing(session, made, kind="amended", who=by, act=act):
        made.state, made.reason = EntryState.WAITING, None
    return made
