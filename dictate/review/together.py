"""Entries to confirm together, each with what was heard and what a person changed; riskiest first."""

from dataclasses import dataclass

from sqlmodel import Session, col, select

from dictate.entry.values import EntryValues
from dictate.review.acts import Listed, unmarked
from dictate.store.queries import heard_text
from dictate.store.tables import Clip, Entry, Event, Note


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """One line of the list."""

    listed: Listed
    heard: str
    """All that was heard in its note."""
    clip_id: int
    was: str
    """The entry in words before a person first changed it; empty when nobody did."""

    @property
    def risk(self) -> tuple[int, int]:
        """What a person changed comes first, then what holds most: there most can be wrong."""
        values = self.listed.values
        parts = (values.findings, values.actions, values.follow_ups, values.measures)
        return (0 if self.was else 1, -sum(map(len, parts)))


def to_confirm_together(session: Session, visit_id: int) -> list[Together]:
    """What `confirm_together` would confirm, in the order in which it should be looked through."""
    listed = {one.id: one for one in unmarked(session, visit_id)}
    rows = session.exec(
        select(Entry.id, Note, Clip.id)
        .join(Note, col(Note.id) == Entry.note_id)
        .join(Clip, col(Clip.id) == Note.clip_id)
        .where(col(Entry.id).in_(listed))
    ).all()
    was = _before_changes(session, list(listed))
    lines = [
        Together(
            listed=listed[entry_id],
            heard=heard_text(note),
            clip_id=clip_id,
            was=said if (said := was.get(entry_id, "")) != listed[entry_id].sentence else "",
        )
        for entry_id, note, clip_id in rows
    ]
    return sorted(lines, key=lambda line: (line.risk, line.listed.id))


def _before_changes(session: Session, entries: list[int]) -> dict[int, str]:
    """Entry to its sentence before the first change that was a person's own."""
    events = session.exec(
        select(Event.subject_id, Event.before)
        .where(Event.subject == "entry", col(Event.subject_id).in_(entries))
        .where(col(Event.kind).in_(("amended", "typed")))
        .order_by(col(Event.id))
    ).all()
    was: dict[int, str] = {}
    for entry_id, before in events:
        if before is not None:
            values = EntryValues.model_validate(before["content"])
            was.setdefault(entry_id, Listed(id=entry_id, version=0, values=values).sentence)
    return was
