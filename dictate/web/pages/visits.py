"""Visits: the list to start from, and one visit with what became of its notes."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Literal

import fastapi
from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse
from sqlalchemy import func
from sqlmodel import Session, col, select

from dictate.entry.values import EntryValues
from dictate.notes.sentences import say_entry
from dictate.review.left_aside import left_aside
from dictate.store.queries import LEFT_ASIDE
from dictate.store.tables import Clip, Entry, Farm, Note, NoteState, Trimmer, Visit
from dictate.web.desk import Form, TheDesk, back_to, page
from dictate.web.guard import Who
from dictate.web.showing import place_of

__all__ = ["router"]

router = APIRouter()
_EACH = 40


class WholeHerd(Form):
    whole_herd: Literal["yes", "no", "unknown"]


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitLine:
    """One visit of the list."""

    id: int
    date: dt.date
    farm: str
    trimmer: str
    counts: Mapping[str, int]
    """Entries by state."""
    unheard: int
    """Clips that were taken in and not heard yet."""


@router.get("/", response_class=HTMLResponse)
def visits(request: Request, desk: TheDesk, _person: Who, turn: int = 1) -> HTMLResponse:
    """Visits with work first, then the others, newest first."""
    with desk.database.reading() as session:
        open_ones = _lines(session, _waiting_ids(session))
        others, more = _others(session, max(turn, 1))
        lines = _lines(session, others)
    return page(request, "visits.html", open=open_ones, lines=lines, turn=max(turn, 1), more=more)


@router.get("/visits/{visit_id}", response_class=HTMLResponse)
def visit(request: Request, desk: TheDesk, _person: Who, visit_id: int) -> HTMLResponse:
    """One visit: its entries by what became of them."""
    with desk.database.reading() as session:
        place = place_of(session, visit_id)
        rows = session.exec(
            select(Entry)
            .join(Note, col(Note.id) == Entry.note_id)
            .where(Entry.visit_id == visit_id)
            .order_by(col(Note.id), col(Entry.position))
        ).all()
        line = _lines(session, [visit_id])[0]
        aside = len(left_aside(session, visit_id))
        entries = [
            (entry, say_entry(EntryValues.model_validate(entry.content)))
            for entry in rows
            if entry.reason != LEFT_ASIDE
        ]
    return page(request, "visit.html", place=place, line=line, entries=entries, aside=aside)


@router.post("/visits/{visit_id}/whole-herd")
def set_whole_herd(
    desk: TheDesk, person: Who, visit_id: int, form: Annotated[WholeHerd, fastapi.Form()]
) -> RedirectResponse:
    """State whether the whole herd was trimmed; the herd picture needs it."""
    with desk.database.writing() as session:
        said = {"yes": True, "no": False, "unknown": None}[form.whole_herd]
        place_of(session, visit_id).visit.whole_herd = said
    person.notice = "Kept."
    return back_to(f"/visits/{visit_id}")


def _waiting_ids(session: Session) -> list[int]:
    """Visits with entries that wait, newest first. A note waits as long as one of its entries does."""
    waiting = select(Note.visit_id).where(Note.state == NoteState.WAITING).distinct()
    newest = select(Visit.id).where(col(Visit.id).in_(waiting)).order_by(col(Visit.date).desc())
    return [visit_id for visit_id in session.exec(newest).all() if visit_id is not None]


def _others(session: Session, turn: int) -> tuple[list[int], bool]:
    query = (
        select(Visit.id)
        .order_by(col(Visit.date).desc(), col(Visit.id).desc())
        .offset((turn - 1) * _EACH)
        .limit(_EACH + 1)
    )
    found = [visit_id for visit_id in session.exec(query).all() if visit_id is not None]
    return found[:_EACH], len(found) > _EACH


def _lines(session: Session, visit_ids: list[int]) -> list[VisitLine]:
    rows = session.exec(
        select(Visit, Farm.name, Trimmer.name)
        .join(Farm, col(Farm.id) == Visit.farm_id)
        .join(Trimmer, col(Trimmer.id) == Visit.trimmer_id)
        .where(col(Visit.id).in_(visit_ids))
    ).all()
    counted: dict[int, dict[str, int]] = {}
    for visit_id, state, number in session.exec(
        select(Entry.visit_id, Entry.state, func.count())
        .where(col(Entry.visit_id).in_(visit_ids))
        .group_by(col(Entry.visit_id), col(Entry.state))
    ).all():
        counted.setdefault(visit_id, {})[state] = number
    unheard = dict(
        session.exec(
            select(Clip.visit_id, func.count())
            .outerjoin(Note, col(Note.clip_id) == Clip.id)
            .where(col(Clip.visit_id).in_(visit_ids), col(Note.id).is_(None))
            .group_by(col(Clip.visit_id))
        ).all()
    )
    lines = {
        visit.id: VisitLine(
            id=visit.id or 0,
            date=visit.date,
            farm=farm,
            trimmer=trimmer,
            counts=counted.get(visit.id or 0, {}),
            unheard=unheard.get(visit.id or 0, 0),
        )
        for visit, farm, trimmer in rows
    }
    return [lines[visit_id] for visit_id in visit_ids]
