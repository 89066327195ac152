"""The herd record read back as plain frozen rows.

A merged animal's rows come under the animal it turned out to be; its own row stays as it was.
"""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Select, Text, case, cast, func
from sqlmodel import Session, SQLModel, col, select

from dictate.record.rows import (
    ActionRow,
    AnimalRow,
    FarmRow,
    FindingRow,
    FollowUpRow,
    LocomotionRow,
    MeasureRow,
    RemarkRow,
    VisitRow,
)
from dictate.store.columns import JsonColumn
from dictate.store.farms import one_animal
from dictate.store.record_tables import (
    Action,
    Finding,
    FollowUp,
    Locomotion,
    Measure,
    Remark,
    Status,
)
from dictate.store.tables import Animal, Farm, Trimmer, Visit
from dictate.store.visits import still_a_visit


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """Which part of the record; None leaves that side open."""

    farm_id: int | None = None
    animal_id: int | None = None
    visit_id: int | None = None
    since: dt.date | None = None
    until: dt.date | None = None
    """The last day that counts."""


_ALL = Scope()
_WHOSE = func.coalesce(Animal.merged_into_id, Animal.id)


def farm_rows(session: Session) -> list[FarmRow]:
    """All farms by name."""
    return [
        FarmRow(id=farm.id, name=farm.name)
        for farm in session.exec(select(Farm).order_by(Farm.name)).all()
    ]


def animal_rows(session: Session, *, farm_id: int | None = None) -> list[AnimalRow]:
    """Animals of a farm, or of all, by number."""
    query = select(Animal).order_by(col(Animal.farm_id), col(Animal.number))
    if farm_id is not None:
        query = query.where(Animal.farm_id == farm_id)
    return [
        AnimalRow(
            id=animal.id,
            farm_id=animal.farm_id,
            number=animal.number,
            eid=animal.eid,
            ear_tag=animal.ear_tag,
            name=animal.name,
            lactation=animal.lactation,
            calved_on=animal.calved_on,
            dried_off_on=animal.dried_off_on,
            status=animal.status,
            merged_into=animal.merged_into_id,
        )
        for animal in session.exec(query).all()
    ]


def animal_names(session: Session, *, farm_id: int) -> dict[int, str]:
    """Names of a farm's animals that have one, by id."""
    query = select(Animal.id, Animal.name).where(Animal.farm_id == farm_id, Animal.name != "")
    return {animal: name for animal, name in session.exec(query).all() if name}


def visit_rows(session: Session, *, farm_id: int | None = None) -> list[VisitRow]:
    """Visits of a farm, or of all, in order of date."""
    query = (
        select(Visit, Trimmer.name)
        .join(Trimmer)
        .where(still_a_visit())
        .order_by(col(Visit.date), col(Visit.id))
    )
    if farm_id is not None:
        query = query.where(Visit.farm_id == farm_id)
    return [
        VisitRow(
            id=visit.id,
            farm_id=visit.farm_id,
            on=visit.date,
            whole_herd=visit.whole_herd,
            trimmer=name,
        )
        for visit, name in session.exec(query).all()
    ]


def finding_rows(session: Session, scope: Scope = _ALL) -> list[FindingRow]:
    """Findings in order of date, visit and entry."""
    columns = "foot claw zone lesion stage severity course object heard region lactation tissue"
    return [
        FindingRow(**row | {"tissue": tuple(row["tissue"] or ())})
        for row in _rows(session, Finding, columns, scope)
    ]


def action_rows(session: Session, scope: Scope = _ALL) -> list[ActionRow]:
    """Actions in order of date, visit and entry."""
    return [ActionRow(**row) for row in _rows(session, Action, "kind foot claw material", scope)]


def follow_up_rows(
    session: Session, scope: Scope = _ALL, *, open_only: bool = False
) -> list[FollowUpRow]:
    """Follow-ups in the order they were asked for; of many thousands most are done long ago."""
    wanted = (col(FollowUp.done_on).is_(None),) if open_only else ()
    columns = "kind feet claw due_on in_days said_when snoozed_to done_on done_entry_id"
    names = {"said_when": "when", "done_entry_id": "done_by_entry"}
    return [
        FollowUpRow(
            **{names.get(key, key): value for key, value in row.items()}
            | {"feet": tuple(row["feet"].split())}
        )
        for row in _rows(session, FollowUp, columns, scope, *wanted)
    ]


def locomotion_rows(session: Session, scope: Scope = _ALL) -> list[LocomotionRow]:
    """Locomotion scores in order of date, visit and entry."""
    return [LocomotionRow(**row) for row in _rows(session, Locomotion, "score scale", scope)]


def measure_rows(session: Session, scope: Scope = _ALL) -> list[MeasureRow]:
    """Measures in order of date, visit and entry."""
    return [MeasureRow(**row) for row in _rows(session, Measure, "what number unit", scope)]


def remark_rows(session: Session, scope: Scope = _ALL) -> list[RemarkRow]:
    """Remarks in order of date, visit and entry."""
    return [RemarkRow(**row) for row in _rows(session, Remark, "text", scope)]


def status_rows(session: Session, scope: Scope = _ALL) -> list[RemarkRow]:
    """What was said of whole animals, in order of date, visit and entry."""
    return [RemarkRow(**row) for row in _rows(session, Status, "text", scope)]


def _rows(
    session: Session,
    table: type[SQLModel],
    columns: str,
    scope: Scope,
    *wanted: ColumnElement[bool],
) -> Iterator[dict[str, Any]]:
    of = table.__table__.c  # type: ignore[attr-defined]
    names = ("id", "farm_id", "visit_id", "entry_id", *columns.split())
    query: Select[Any] = (
        select(
            *(_lists(of[name]) for name in names),  # type: ignore[call-overload]
            of["date"].label("on"),
            _WHOSE.label("animal_id"),
            Animal.number.label("animal"),  # type: ignore[attr-defined]
        )
        .select_from(table)
        .join(Animal, col(Animal.id) == of["animal_id"])
        .where(*_conditions(of, scope), *wanted)
        .order_by(of["date"], of["visit_id"], of["entry_id"], of["position"])
    )
    keys = [str(column.key) for column in query.selected_columns]
    # Plain tuples: a row's own mapping costs several times as much, and there may be very many.
    return (dict(zip(keys, row, strict=True)) for row in session.execute(query))


def _lists(column: Any) -> Any:
    """Leave out lists that are empty, as nearly all are: decoding them is a third of the time."""
    if not isinstance(column.type, JsonColumn):
        return column
    return case((cast(column, Text) != "[]", column)).label(column.key)


def _conditions(of: Any, scope: Scope) -> Iterator[ColumnElement[bool]]:
    if scope.farm_id is not None:
        yield of["farm_id"] == scope.farm_id
    if scope.visit_id is not None:
        yield of["visit_id"] == scope.visit_id
    if scope.animal_id is not None:
        yield of["animal_id"].in_(one_animal(scope.animal_id))
    if scope.since is not None:
        yield of["date"] >= scope.since
    if scope.until is not None:
        yield of["date"] <= scope.until
