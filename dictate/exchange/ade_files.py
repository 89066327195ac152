"""A farm's record as three ADE collections in a folder."""

import datetime as dt
from pathlib import Path
from typing import Any

from sqlmodel import Session, col, select

from dictate.errors import StoreError
from dictate.exchange.ade import (
    AdeRecord,
    Evidence,
    animals_of,
    collection_of,
    diagnosis_events,
    treatment_events,
)
from dictate.store.record_queries import (
    Scope,
    action_rows,
    animal_rows,
    finding_rows,
    remark_rows,
)
from dictate.store.states import EntryState
from dictate.store.tables import Clip, Entry, Farm, Note, Trimmer, Visit
from dictate.written import write_whole


def export_ade(
    session: Session, folder: Path, farm: Farm, *, with_claws: bool = False
) -> dict[str, int]:
    """Write animals.json, diagnoses.json and treatments.json; return how many members each has.

    Raises:
        StoreError: the folder cannot be written.
    """
    record = _load(session, farm)
    members: dict[str, tuple[Any, ...]] = {
        "animals.json": animals_of(record),
        "diagnoses.json": diagnosis_events(record, with_claws=with_claws),
        "treatments.json": treatment_events(record, with_claws=with_claws),
    }
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, listed in members.items():
            write_whole(folder / name, collection_of(listed))
    except OSError as error:
        raise StoreError(
            f"cannot be written: {error.strerror}", where=str(folder), remedy="Name another folder"
        ) from error
    return {name: len(listed) for name, listed in members.items()}


def _load(session: Session, farm: Farm) -> AdeRecord:
    scope = Scope(farm_id=farm.id)
    evidence = _evidence(session, farm.id)
    moments = [one.confirmed_at for one in evidence.values()]
    return AdeRecord(
        animals=animal_rows(session, farm_id=farm.id),
        findings=finding_rows(session, scope),
        actions=action_rows(session, scope),
        remarks=remark_rows(session, scope),
        evidence=evidence,
        modified=max(moments, default=dt.datetime(1970, 1, 1, tzinfo=dt.UTC)),
    )


def _evidence(session: Session, farm_id: int) -> dict[int, Evidence]:
    rows = session.exec(
        select(Entry, Clip, col(Visit.date), col(Trimmer.name))
        .join(Note, col(Note.id) == Entry.note_id)
        .join(Clip, col(Clip.id) == Note.clip_id)
        .join(Visit, col(Visit.id) == Entry.visit_id)
        .join(Trimmer, col(Trimmer.id) == Visit.trimmer_id)
        .where(Visit.farm_id == farm_id, Entry.state == EntryState.CONFIRMED)
    ).all()
    found = {}
    for entry, clip, date, trimmer in rows:
        midnight = dt.datetime.combine(date, dt.time(), tzinfo=dt.UTC)
        found[entry.id] = Evidence(
            sha256=clip.sha256,
            position=entry.position,
            said_at=clip.recorded_at or midnight,
            trimmer=trimmer,
            confirmed_by=entry.confirmed_by,
            confirmed_at=entry.confirmed_at or midnight,
        )
    return found
