"""The confirmed record of a farm in ICAR Animal Data Exchange form.

What the standard has no place for is not forced into it: the M-stage, tissue and course stand in a
diagnosis's `description`, the zone in its `site`. `No lesion` is no diagnosis and `referred` no
treatment; both are in the CSV and Parquet export only. No withdrawal time is made up: none is given.
"""

import datetime as dt
import tomllib
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from dictate.errors import RosterError
from dictate.exchange.ade_models import (
    Animal,
    Collection,
    Diagnosis,
    DiagnosisEvent,
    Identifier,
    Medicine,
    Meta,
    Position,
    TreatmentEvent,
    View,
)
from dictate.exchange.roster.ade_list import FARM_AND_NUMBER
from dictate.record.identify import read_ear_tag
from dictate.record.rows import ActionRow, AnimalRow, FindingRow, RemarkRow

SOURCE = "dictate"


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """Where an entry comes from."""

    sha256: str
    """Of the clip's file; with `position` it names the entry everywhere."""
    position: int
    said_at: dt.datetime
    """Moment of the clip, or the day of the visit at 0:00 UTC when no moment is known."""
    trimmer: str
    confirmed_by: str | None
    confirmed_at: dt.datetime

    def uid(self, *parts: object) -> str:
        """Return the same UUID for the same thing at every export."""
        return str(
            uuid5(
                NAMESPACE_URL, "/".join(map(str, ("dictate", self.sha256, self.position, *parts)))
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class AdeRecord:
    """The rows of one farm and the evidence of their entries by entry id."""

    animals: Sequence[AnimalRow]
    findings: Sequence[FindingRow]
    actions: Sequence[ActionRow]
    remarks: Sequence[RemarkRow]
    evidence: Mapping[int, Evidence]
    modified: dt.datetime
    """When the animals' data last changed, as far as known."""


def animals_of(record: AdeRecord) -> tuple[Animal, ...]:
    """Return the animals of the farm, merged ones left out."""
    return tuple(
        Animal(
            meta=Meta(source=SOURCE, sourceId=f"animal-{row.id}", modified=record.modified),
            identifier=_identifiers(row)[0],
            alternativeIdentifiers=_identifiers(row)[1:] or None,
            managementTag=row.number,
            name=row.name,
            status=_terms()["status"][row.status],
        )
        for row in record.animals
        if row.merged_into is None
    )


def diagnosis_events(record: AdeRecord, *, with_claws: bool = False) -> tuple[DiagnosisEvent, ...]:
    """Return one event for each entry with lesions.

    `with_claws` uses the claw positions of later versions of the standard.
    """
    animals = {row.id: row for row in record.animals}
    remarks = {row.entry_id: row.text for row in record.remarks}
    by_entry: dict[int, list[FindingRow]] = {}
    for row in record.findings:
        if row.lesion not in _terms()["left_out"]["lesions"] and row.entry_id is not None:
            by_entry.setdefault(row.entry_id, []).append(row)
    events = []
    for entry_id, rows in by_entry.items():
        evidence = record.evidence[entry_id]
        diagnoses = tuple(
            _diagnosis(row, evidence.uid("diagnosis", at), with_claws)
            for at, row in enumerate(rows)
        )
        events.append(
            DiagnosisEvent(
                **_shared(evidence, animals[rows[0].animal_id], "diagnoses"),
                remark=remarks.get(entry_id),
                diagnoses=diagnoses,
            )
        )
    return tuple(events)


def treatment_events(record: AdeRecord, *, with_claws: bool = False) -> tuple[TreatmentEvent, ...]:
    """Return one event for each action; products stay in the speaker's own words."""
    animals = {row.id: row for row in record.animals}
    events = []
    places: Counter[int] = Counter()
    for row in record.actions:
        if row.kind in _terms()["left_out"]["actions"] or row.entry_id is None:
            continue
        evidence = record.evidence[row.entry_id]
        places[row.entry_id] += 1
        product = row.material if row.kind == "topical" else None
        events.append(
            TreatmentEvent(
                **_shared(evidence, animals[row.animal_id], "treatment", places[row.entry_id]),
                procedure=row.kind,
                medicine=Medicine(name=product) if product else None,
                site=_site(row.foot, row.claw),
                positions=_positions(row.foot, row.claw, with_claws),
                comment=row.material if not product else None,
            )
        )
    return tuple(events)


def collection_of(members: Iterable[Animal | DiagnosisEvent | TreatmentEvent]) -> str:
    """Return a collection as JSON text."""
    listed = tuple(members)
    whole = Collection(view=View(totalItems=len(listed)), member=listed)
    return whole.model_dump_json(exclude_none=True, indent=1) + "\n"


def _shared(evidence: Evidence, animal: AnimalRow, *parts: object) -> dict[str, Any]:
    uid = evidence.uid(*parts)
    return {
        "meta": Meta(
            source=SOURCE,
            sourceId=uid,
            modified=evidence.confirmed_at,
            creator=evidence.confirmed_by,
        ),
        "id": uid,
        "eventDateTime": evidence.said_at,
        "responsible": evidence.trimmer or None,
        "animal": _identifiers(animal)[0],
    }


def _diagnosis(row: FindingRow, uid: str, with_claws: bool) -> Diagnosis:
    severity = _terms()["severity"].get(row.severity)
    said = (
        f"stage {row.stage}" if row.stage else None,
        row.severity if severity is None else None,
        row.course,
        row.object,
        ", ".join(row.tissue),
    )
    return Diagnosis(
        id=uid,
        name=row.lesion,
        description="; ".join(part for part in said if part) or None,
        site=_site(row.foot, row.claw, row.zone),
        severity=severity,
        positions=_positions(row.foot, row.claw, with_claws),
    )


def _site(foot: str | None, claw: str | None, zone: int | None = None) -> str | None:
    parts = (
        _terms()["foot"].get(foot),
        f"{claw} claw" if claw else None,
        None if zone is None else f"zone {zone}",
    )
    return ", ".join(part for part in parts if part) or None


def _positions(foot: str | None, claw: str | None, with_claws: bool) -> tuple[Position, ...] | None:
    if foot is None:
        return None
    if with_claws and claw:
        return (Position(position=_terms()["claw_position"][f"{foot} {claw}"]),)
    return (Position(position=_terms()["position"][foot]),)


def _identifiers(row: AnimalRow) -> tuple[Identifier, ...]:
    """All identifiers of an animal, the one most widely understood first."""
    found = [Identifier(id=row.eid, scheme="std.iso.11785")] if row.eid else []
    if row.ear_tag and (tag := _tag(row.ear_tag)):
        found.append(tag)
    found.append(Identifier(id=f"{row.farm_id}/{row.number}", scheme=FARM_AND_NUMBER))
    return tuple(found)


def _tag(text: str) -> Identifier | None:
    try:
        tag = read_ear_tag(text)
    except RosterError:
        return None
    scheme = _terms()["scheme"].get(tag.country)
    if scheme is None and tag.country in _terms()["eu"]["countries"]:
        scheme = "eu.bovine"
    return Identifier(id=tag.text, scheme=scheme) if scheme else None


@cache
def _terms() -> dict[str, Any]:
    return tomllib.loads((files("dictate.exchange") / "ade_terms.toml").read_text("utf-8"))
