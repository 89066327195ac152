"""Replaying the reviewer's decisions, and comparing what was heard with what was said: nothing is forgiven."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlmodel import Session

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
_FINDING = ("foot", "claw", "zone", "lesion", "stage", "severity", "object", "course")
_ACTION = ("kind", "foot", "claw", "material")
_FOLLOW_UP = ("kind", "in_days", "date")


def same_entry(one: EntryValues, other: EntryValues) -> bool:
    """Whether two entries record the same, whatever the order; marks and heard words aside."""
    return _record(one) == _record(other)


def count_exact(read: Iterable[EntryValues], said: Iterable[EntryValues]) -> int:
    """How many of the said entries were read exactly; each reading counts once."""
    left = Counter(map(_record, read))
    exact = 0
    for record in map(_record, said):
        if left[record]:
            left[record] -= 1
            exact += 1
    return exact


def same_sites(read: Sequence[EntryValues], said: Sequence[EntryValues]) -> bool:
    """Whether a clip gave the right animals, feet and lesions: all that were said and no others."""
    return Counter(_sites(read)) == Counter(_sites(said))


def _sites(entries: Iterable[EntryValues]) -> Iterable[tuple[Any, ...]]:
    for entry in entries:
        if entry.animal or entry.findings:
            yield (entry.animal,)
        yield from ((entry.animal, finding.foot, finding.lesion) for finding in entry.findings)


def _record(values: EntryValues) -> tuple[Any, ...]:
    return (
        values.animal,
        frozenset(
            Counter(
                (*_of(finding, _FINDING), frozenset(finding.tissue)) for finding in values.findings
            ).items()
        ),
        frozenset(Counter(_of(action, _ACTION) for action in values.actions).items()),
        frozenset(Counter(_of(one, _FOLLOW_UP) for one in values.follow_ups).items()),
        values.locomotion,
        frozenset((one.what, one.number, one.unit) for one in values.measures),
        frozenset(values.status),
        values.remark,
    )


def _of(item: Any, names: Sequence[str]) -> tuple[Any, ...]:
    return tuple(getattr(item, name) for name in names)


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
