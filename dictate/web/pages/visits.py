"""Today: what to record, take in or review; all visits; and one visit with what became of its notes."""

import datetime as dt
from typing import Annotated, Literal

import fastapi
from fastapi import APIRouter, BackgroundTasks, Request
from fastapi.responses import HTMLResponse, RedirectResponse
from pydantic import Field

from dictate.entry.wording import say_entry
from dictate.review import acts
from dictate.review.waiting import left_aside
from dictate.store.clips import LEFT_ASIDE, entries_of_visit
from dictate.store.due_lines import due_lines
from dictate.store.overview import unheard_count, visit_lines, waiting_visits
from dictate.store.record_queries import farm_rows
from dictate.store.visits import place_of
from dictate.texts import gettext
from dictate.web.desk import Form, TheDesk, back_to, page
from dictate.web.guard import Who

router = APIRouter()
_EACH = 20


class Moving(Form):
    farm: str = Field(min_length=1, max_length=100)
    date: dt.date


class WholeHerd(Form):
    whole_herd: Literal["yes", "no", "unknown"]


@router.get("/", response_class=HTMLResponse)
def today(
    request: Request, desk: TheDesk, _person: Who, farm: str = "", turn: int = 1
) -> HTMLResponse:
    """Work first, then all visits, newest first."""
    at, now = max(turn, 1), desk.today()
    with desk.database.reading() as session:
        farms = farm_rows(session)
        chosen = next((one for one in farms if str(one.id) == farm), None)
        lines = visit_lines(session, farm_id=chosen.id if chosen else None, skip=(at - 1) * _EACH, most=_EACH + 1)  # fmt: skip
        _, due = due_lines(session, until=now, most=0)
        return page(
            request,
            "visits.html",
            today=now,
            open=waiting_visits(session),
            unheard=unheard_count(session),
            due=due,
            farms=farms,
            at=chosen,
            lines=lines[:_EACH],
            turn=at,
            more=len(lines) > _EACH,
        )


@router.get("/hearing", response_class=HTMLResponse)
def hearing(request: Request, desk: TheDesk, _person: Who) -> HTMLResponse:
    """A line on how far hearing is; it asks for itself again while there is something to tell."""
    with desk.database.reading() as session:
        left = unheard_count(session)
    return page(request, "_hearing.html", left=left)


@router.post("/hearing")
def hear_now(
    desk: TheDesk, person: Who, _form: Annotated[Form, fastapi.Form()], later: BackgroundTasks
) -> RedirectResponse:
    """Go on with the clips that were taken in and not heard."""
    later.add_task(desk.hear_waiting_clips)
    person.notice = gettext("The recordings are being heard.")
    return RedirectResponse("/", status_code=303, background=later)


@router.get("/visits/{visit_id}", response_class=HTMLResponse)
def visit(
    request: Request, desk: TheDesk, _person: Who, visit_id: int, find: str = ""
) -> HTMLResponse:
    """One visit: its entries by what became of them; `find` leaves those that hold these words."""
    wanted = find.strip()[:60].lower()
    with desk.database.reading() as session:
        place = place_of(session, visit_id)
        line = visit_lines(session, visit_id=visit_id)[0]
        aside = len(left_aside(session, visit_id))
        entries = [
            (entry, say_entry(entry.values))
            for entry in entries_of_visit(session, visit_id)
            if entry.reason != LEFT_ASIDE
        ]
    shown = [(entry, words) for entry, words in entries if wanted in words.lower()]
    return page(request, "visit.html", place=place, line=line, entries=shown, find=find[:60], all=len(entries), aside=aside)  # fmt: skip


@router.post("/visits/{visit_id}/move")
def move(
    desk: TheDesk, person: Who, visit_id: int, form: Annotated[Moving, fastapi.Form()]
) -> RedirectResponse:
    """Move everything of a visit to the farm and day that it was really at."""
    moved = acts.move(
        desk.database, desk.settings, visit_id,
        by=person.name, farm=form.farm.strip(), date=form.date,
    )  # fmt: skip
    person.notice, person.undo_path = moved.told, "/undo"
    return back_to(f"/visits/{moved.visit_id}")


@router.post("/visits/{visit_id}/whole-herd")
def set_whole_herd(
    desk: TheDesk, person: Who, visit_id: int, form: Annotated[WholeHerd, fastapi.Form()]
) -> RedirectResponse:
    """State whether the whole herd was trimmed; the herd picture needs it."""
    with desk.database.writing() as session:
        said = {"yes": True, "no": False, "unknown": None}[form.whole_herd]
        place_of(session, visit_id).visit.whole_herd = said
    person.notice = gettext("Kept.")
    return back_to(f"/visits/{visit_id}")
