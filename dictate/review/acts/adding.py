"""Adding an entry beside another one of the same note, so that undoing the act takes it away again."""

from sqlmodel import col, func, select

from dictate.entry.values import EntryValues
from dictate.review.acts.act import Act
from dictate.store.history import tell
from dictate.store.states import EntryState
from dictate.store.tables import Entry


def add_beside(act: Act, of: Entry, values: EntryValues, *, reason: str) -> Entry:
    """Queue a new entry of the same note; `reason` is why it is discarded once the act is undone.

    It begins as rejected and is then brought in, so that its history has a step to take back.
    """
    last = act.session.exec(
        select(func.max(col(Entry.position))).where(Entry.note_id == of.note_id)
    ).one()
    made = Entry(
        note_id=of.note_id,
        visit_id=of.visit_id,
        position=last + 1,
        state=EntryState.REJECTED,
        reason=reason,
        touched=True,
        content=values.model_dump(mode="json"),
    )
    act.session.add(made)
    act.session.flush()
    tell(act.session, made, kind="queued", who=act.by, act=act.id, before=None)
    with act.change(made, "amended"):
        made.state, made.reason = EntryState.WAITING, None
    return made
