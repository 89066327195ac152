"""Follow-ups of a farm: what is due when, ticked off or put off."""

import datetime as dt
from itertools import groupby
from typing import Annotated, Literal

import fastapi
from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse
from sqlmodel import select

from dictate.review.follow_ups import due_at, put_off, tick_off, untick
from dictate.store.tables import Farm
from dictate.web.desk import Form, TheDesk, back_to, page
from dictate.web.guard import Who
from dictate.web.showing import farm_asked

__all__ = ["router"]

router = APIRouter()
_SPANS = {"week": 7, "month": 31, "all": None}


class Later(Form):
    until: dt.date
    span: Literal["week", "month", "all"] = "month"


class Done(Form):
    span: Literal["week", "month", "all"] = "month"


@router.get("/follow-ups", response_class=HTMLResponse)
def follow_ups(
    request: Request,
    desk: TheDesk,
    _person: Who,
    farm: str = "",
    span: Literal["week", "month", "all"] = "month",
) -> HTMLResponse:
    """What is overdue and due at a farm, by day."""
    today = desk.today()
    days = _SPANS[span]
    with desk.database.reading() as session:
        farms = session.exec(select(Farm).order_by(Farm.name)).all()
        at = farm_asked(farms, farm, desk.settings.farm)
        until = None if days is None else today + dt.timedelta(days=days)
        due, total = due_at(session, at.id or 0, until=until) if at else ([], 0)
    by_day = [(day, list(some)) for day, some in groupby(due, key=lambda one: one.on)]
    return page(
        request,
        "follow_ups.html",
        farms=farms,
        at=at,
        span=span,
        by_day=by_day,
        today=today,
        total=total,
        shown=len(due),
    )


@router.post("/follow-ups/{follow_up_id}/done")
def done(
    desk: TheDesk, person: Who, follow_up_id: int, form: Annotated[Done, fastapi.Form()]
) -> RedirectResponse:
    """Tick a follow-up off."""
    with desk.database.writing() as session:
        ticked = tick_off(session, follow_up_id, by=person.name, on=desk.today())
    person.notice = f"Done: {ticked.kind}."
    person.undo_path = f"/follow-ups/{follow_up_id}/open"
    return back_to(f"/follow-ups?farm={ticked.farm_id}&span={form.span}")


@router.post("/follow-ups/{follow_up_id}/open")
def open_again(
    desk: TheDesk, person: Who, follow_up_id: int, _form: Annotated[Form, fastapi.Form()]
) -> RedirectResponse:
    """Open it again."""
    with desk.database.writing() as session:
        opened = untick(session, follow_up_id, by=person.name)
    person.notice = f"Open again: {opened.kind}."
    return back_to(f"/follow-ups?farm={opened.farm_id}")


@router.post("/follow-ups/{follow_up_id}/later")
def later(
    desk: TheDesk, person: Who, follow_up_id: int, form: Annotated[Later, fastapi.Form()]
) -> RedirectResponse:
    """Put a follow-up off to another day."""
    with desk.database.writing() as session:
        moved = put_off(session, follow_up_id, form.until, by=person.name)
    person.notice = f"Put off to {form.until.isoformat()}: {moved.kind}."
    person.undo_path = f"/follow-ups/{follow_up_id}/open"
    return back_to(f"/follow-ups?farm={moved.farm_id}&span={form.span}")
