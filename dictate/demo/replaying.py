"""Replaying the reviewer's decisions through the same functions that a person's go through."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlmodel import Session

from dictate.demo.comparing import same_entry
from dictate.demo.script import Script, ScriptedNote
from dictate.entry.values import EntryValues
from dictate.review import acts
from dictate.settings import Settings
from dictate.store.clips import entries_of_note, note_of_file
from dictate.store.database import Database
from dictate.store.states import EntryState

if TYPE_CHECKING:
    from dictate.store.tables import Entry

_SLOTS = (
    "animal", "findings", "actions", "follow_ups", "locomotion", "measures", "status", "remark",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Replayed:
    """What the reviewer had to do, in entries."""

    confirmed_as_read: int = 0
    amended: int = 0
    rejected: int = 0

    def __add__(self, other: "Replayed") -> "Replayed":
        return Replayed(
            confirmed_as_read=self.confirmed_as_read + other.confirmed_as_read,
            amended=self.amended + other.amended,
            rejected=self.rejected + other.rejected,
        )


def replay(database: Database, settings: Settings, script: Script) -> Replayed:
    """Decide on every note of the script in the order of the day, each note as one commit."""
    done = Replayed()
    for note in script.note:
        with database.writing() as session:
            done += _decide(session, settings, note)
    return done


def _decide(session: Session, settings: Settings, note: ScriptedNote) -> Replayed:
    entries = _waiting(session, note.clip)
    review = note.review
    wanted = _wanted(note)
    if len(entries) < len(wanted):
        acts.put_words_right(session, settings, entries[0].id, note.said, by=review.by)
        entries = _waiting(session, note.clip)
    done = Replayed()
    for entry, values in zip(entries, wanted, strict=False):
        as_read = same_entry(entry.values, values) and not entry.touched
        if not as_read:
            acts.amend(session, settings, entry.id, _all_slots(values), by=review.by)
        acts.confirm(session, settings, entry.id, by=review.by, sure=True)
        done += Replayed(confirmed_as_read=as_read, amended=not as_read)
    for entry in entries[len(wanted) :]:
        acts.discard(session, settings, entry.id, review.why or "not said", by=review.by)
        done += Replayed(rejected=1)
    return done


def _wanted(note: ScriptedNote) -> list[EntryValues]:
    """The entries as they must enter the record: those said, with the reviewer's own changes."""
    if note.review.decision == "reject":
        return []
    wanted = [values.model_dump() for values in note.entries]
    for change in note.review.changes:
        wanted[change["entry"]] |= {slot: new for slot, new in change.items() if slot != "entry"}
    return [EntryValues.model_validate(values) for values in wanted]


def _all_slots(values: EntryValues) -> dict[str, Any]:
    content = values.model_dump(mode="json")
    return {slot: content[slot] for slot in _SLOTS}


def _waiting(session: Session, clip: str) -> "list[Entry]":
    note = note_of_file(session, clip)
    entries = entries_of_note(session, note.id) if note else []
    return [entry for entry in entries if entry.state == EntryState.WAITING]
