"""A row of a list of the past, and the entry that it becomes: confirmed, and with a note that has no sound."""

import datetime as dt
import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session, col, or_, select

from dictate.entry.values import ActionValues, EntryValues, FindingValues
from dictate.store.clips import clip_by_hash
from dictate.store.history import changing, tell
from dictate.store.record_entry import FROM_LIST, record_entry
from dictate.store.record_tables import Action, Finding
from dictate.store.states import EntryState, NoteState
from dictate.store.tables import Animal, Clip, Entry, Farm, Note, now
from dictate.store.visits import visit_for

FROM = "from "
"""How the trimmer of a list's visits begins; the name of the file follows."""
_REASON = "the list was taken back"


@dataclass(frozen=True, slots=True, kw_only=True)
class PastLine:
    """One row: one animal on one day."""

    date: dt.date
    number: str | None = None
    eid: str | None = None
    ear_tag: str | None = None
    findings: tuple[FindingValues, ...] = ()
    actions: tuple[ActionValues, ...] = ()
    remark: str | None = None
    text: str = ""
    """The row as it stands in the file."""


def is_known(session: Session, animal: Animal, line: PastLine) -> bool:
    """Whether all that a row says is in the record of that animal and day, whoever wrote it."""
    own = select(Animal.id).where(
        or_(col(Animal.id) == animal.id, col(Animal.merged_into_id) == animal.id)
    )
    findings = session.exec(
        select(Finding).where(Finding.date == line.date, col(Finding.animal_id).in_(own))
    ).all()
    actions = session.exec(
        select(Action).where(Action.date == line.date, col(Action.animal_id).in_(own))
    ).all()
    has_found = [(one.lesion, one.foot, one.claw) for one in findings]
    was_done = [(one.kind, one.foot, one.claw) for one in actions]
    said = [(one.lesion, one.foot, one.claw) for one in line.findings]
    done = [(one.kind, one.foot, one.claw) for one in line.actions]
    return all(_among(one, has_found) for one in said) and all(
        _among(one, was_done) for one in done
    )


def _among(said: tuple[Any, ...], there: Sequence[tuple[Any, ...]]) -> bool:
    """What a row leaves open does not make it another one."""
    return any(
        all(one in (None, other) for one, other in zip(said, row, strict=True)) for row in there
    )


def add_entry(
    session: Session, farm: Farm, animal: Animal, line: PastLine, *, by: str, act: str, source: str
) -> None:
    values = EntryValues(
        animal=animal.number, findings=line.findings, actions=line.actions, remark=line.remark,
    )  # fmt: skip
    entry = _there_already(session, farm, animal, line)
    if entry is None:
        entry = _queued(session, farm, animal, line, values, source=source)
        tell(session, entry, kind="queued", who=by, act=act, before=None)
    with changing(session, entry, kind="confirmed", who=by, act=act):
        entry.state, entry.touched, entry.reason = EntryState.CONFIRMED, True, None
        entry.content = values.model_dump(mode="json")
        entry.confirmed_how, entry.confirmed_by, entry.confirmed_at = FROM_LIST, by, now()
        record_entry(session, entry, animal=animal)


def _key(farm: Farm, animal: Animal, line: PastLine) -> str:
    """Equal for one row, in whatever file and column it stands."""
    said: list[Any] = [farm.id, animal.id, line.date.isoformat(), line.remark]
    said += [one.model_dump(mode="json") for one in (*line.findings, *line.actions)]
    return hashlib.sha256(json.dumps(said, sort_keys=True).encode()).hexdigest()


def _there_already(session: Session, farm: Farm, animal: Animal, line: PastLine) -> Entry | None:
    """The entry of this row from a list that was taken back."""
    clip = clip_by_hash(session, _key(farm, animal, line))
    if clip is None:
        return None
    note = session.exec(select(Note).where(Note.clip_id == clip.id)).one()
    return session.exec(select(Entry).where(Entry.note_id == note.id)).first()


def _queued(
    session: Session,
    farm: Farm,
    animal: Animal,
    line: PastLine,
    values: EntryValues,
    *,
    source: str,
) -> Entry:
    visit = visit_for(session, farm=farm.name, trimmer=f"{FROM}{source}", date=line.date)
    clip = Clip(
        sha256=_key(farm, animal, line), visit_id=visit.id, file_name=source, suffix="", seconds=0.0,
        source_rate=0, channels=0,
    )  # fmt: skip
    session.add(clip)
    session.flush()
    words = [
        {"text": word, "start": 0.0, "end": 0.0, "confidence": 1.0} for word in line.text.split()
    ]
    note = Note(
        clip_id=clip.id, visit_id=visit.id, state=NoteState.REJECTED, engine=FROM_LIST, model=source,
        words=words, alternatives=[], has_speech=False,
    )  # fmt: skip
    session.add(note)
    session.flush()
    entry = Entry(
        note_id=note.id, visit_id=visit.id, position=0, state=EntryState.REJECTED, reason=_REASON,
        touched=True, content=values.model_dump(mode="json"),
    )  # fmt: skip
    session.add(entry)
    session.flush()
    return entry
