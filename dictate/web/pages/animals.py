"""Animals: finding one, and its history of confirmed entries."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse
from sqlalchemy import func, or_
from sqlmodel import Session, col, select

from dictate.entry.values import EntryValues
from dictate.errors import NotFoundError
from dictate.notes.sentences import say_entry
from dictate.sheets.claw_map import claw_map
from dictate.store.record_queries import Scope, follow_up_rows
from dictate.store.tables import Animal, Entry, EntryState, Farm, Visit
from dictate.web.desk import TheDesk, page
from dictate.web.guard import Who
from dictate.web.showing import farm_asked

__all__ = ["router"]

router = APIRouter()
_EACH = 60
_ENTRIES = 40
_NUMBERS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """One confirmed entry of an animal."""

    entry: Entry
    visit: Visit
    said: str
    map: str
    """SVG; empty when nothing was found at a foot."""


@router.get("/animals", response_class=HTMLResponse)
def animals(
    request: Request, desk: TheDesk, _person: Who, farm: str = "", find: str = "", turn: int = 1
) -> HTMLResponse:
    """Animals of a farm by number, or those whose number, tag or name holds what is searched."""
    with desk.database.reading() as session:
        farms = session.exec(select(Farm).order_by(Farm.name)).all()
        at = farm_asked(farms, farm, desk.settings.farm)
        found = _animals(session, at.id, find.strip()[:40], max(turn, 1)) if at else []
    return page(
        request,
        "animals.html",
        farms=farms,
        at=at,
        find=find[:40],
        animals=found[:_EACH],
        turn=max(turn, 1),
        more=len(found) > _EACH,
    )


@router.get("/animals/{animal_id}", response_class=HTMLResponse)
def animal(request: Request, desk: TheDesk, _person: Who, animal_id: int) -> HTMLResponse:
    """One animal: open follow-ups and what was confirmed, newest first."""
    with desk.database.reading() as session:
        found = session.get(Animal, animal_id)
        if found is None:
            raise NotFoundError(
                f"there is no animal {animal_id}", remedy="Look it up by its number"
            )
        if found.merged_into_id:
            found = session.get_one(Animal, found.merged_into_id)
        past = _past(session, found)
        due = [row for row in follow_up_rows(session, Scope(animal_id=found.id)) if not row.done_on]
        farm = session.get_one(Farm, found.farm_id)
    return page(request, "animal.html", animal=found, farm=farm, past=past, due=due, most=_ENTRIES)


@router.get("/farms/{farm_id}/numbers", response_class=HTMLResponse)
def numbers(
    request: Request, desk: TheDesk, _person: Who, farm_id: int, animal: str = ""
) -> HTMLResponse:
    """Numbers of a farm that begin with, or hold, what was typed so far."""
    typed = animal.strip()[:20]
    with desk.database.reading() as session:
        query = (
            select(Animal.number)
            .where(Animal.farm_id == farm_id, col(Animal.number).contains(typed, autoescape=True))
            .order_by(
                ~col(Animal.number).startswith(typed, autoescape=True), func.length(Animal.number)
            )
            .limit(_NUMBERS)
        )
        found = session.exec(query).all() if typed else []
    return page(request, "numbers.html", numbers=found)


def _animals(session: Session, farm_id: int | None, find: str, turn: int) -> list[Animal]:
    query = select(Animal).where(Animal.farm_id == farm_id, col(Animal.merged_into_id).is_(None))
    if find:
        columns = (Animal.number, Animal.ear_tag, Animal.eid, Animal.name)
        query = query.where(or_(*(col(one).contains(find, autoescape=True) for one in columns)))
    order = (func.length(Animal.number), col(Animal.number))
    return list(
        session.exec(query.order_by(*order).offset((turn - 1) * _EACH).limit(_EACH + 1)).all()
    )


def _past(session: Session, animal: Animal) -> list[Past]:
    same = select(Animal.id).where(or_(Animal.id == animal.id, Animal.merged_into_id == animal.id))
    rows = session.exec(
        select(Entry, Visit)
        .join(Visit, col(Visit.id) == Entry.visit_id)
        .where(Entry.state == EntryState.CONFIRMED, col(Entry.animal_id).in_(same))
        .order_by(col(Visit.date).desc(), col(Entry.id).desc())
        .limit(_ENTRIES)
    ).all()
    return [_one_past(entry, visit) for entry, visit in rows]


def _one_past(entry: Entry, visit: Visit) -> Past:
    values = EntryValues.model_validate(entry.content)
    drawn = ""
    if any(finding.foot for finding in values.findings):
        drawn = claw_map(
            values.findings,
            values.actions,
            title=f"Claw map of cow {values.animal} on {visit.date}",
            key=f"map-{entry.id}",
            small=True,
            focus=True,
        )
    return Past(entry=entry, visit=visit, said=say_entry(values), map=drawn)
