"""What is due, by day and farm: ticked off or put off, one or many at once, or as a calendar file."""

import datetime as dt
from itertools import groupby
from typing import Annotated, Literal

import fastapi
from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from pydantic import Field, ValidationError

from dictate.errors import ReviewError
from dictate.record.follow_ups import calendar_of
from dictate.review.follow_ups import put_off, tick_off, untick
from dictate.store.due_lines import due_lines, what_about
from dictate.store.record_queries import Scope, farm_rows, follow_up_rows
from dictate.texts import gettext, ngettext, written_day
from dictate.web.desk import Desk, Form, TheDesk, back_to, page
from dictate.web.gate import Person
from dictate.web.guard import Who

router = APIRouter()
_SPANS = {"today": 0, "week": 7, "month": 31, "all": None}
Span = Literal["today", "week", "month", "all"]
Turn = Annotated[int, Field(ge=1, le=10_000)]
_MOST = 200
"""Lines on a page: a barn's phone has little to spare."""


class Ticked(Form):
    """Follow-ups chosen in the list, and what to do with them."""

    do: Literal["done", "later", "open"]
    which: tuple[int, ...] = ()
    until: dt.date | Literal[""] = ""
    farm: str = ""
    span: Span = "month"
    turn: Turn = 1


async def _ticked(request: Request) -> Ticked:
    form = await request.form()
    given = {name: str(value) for name, value in form.items() if name != "which"}
    try:
        return Ticked.model_validate({**given, "which": tuple(form.getlist("which"))})
    except ValidationError as error:
        raise ReviewError(
            gettext("the list does not read"), remedy=gettext("Open it again")
        ) from error


@router.get("/follow-ups", response_class=HTMLResponse)
def follow_ups(
    request: Request,
    desk: TheDesk,
    _person: Who,
    farm: str = "",
    span: Span = "month",
    turn: Turn = 1,
) -> HTMLResponse:
    """What is overdue and due at a farm, or at all, by day and farm."""
    today = desk.today()
    days = _SPANS[span]
    until = None if days is None else today + dt.timedelta(days=days)
    with desk.database.reading() as session:
        farms = farm_rows(session)
        at = next((one for one in farms if str(one.id) == farm), None)
        due, total = due_lines(
            session,
            farm_id=at.id if at else None,
            until=until,
            most=_MOST,
            skip=(turn - 1) * _MOST,
        )
    groups = [
        (day, name, list(some))
        for (day, name), some in groupby(due, key=lambda one: (one.on, one.farm))
    ]
    return page(
        request,
        "follow_ups.html",
        farms=farms,
        at=at,
        span=span,
        groups=groups,
        today=today,
        total=total,
        first=(turn - 1) * _MOST + 1,
        last=(turn - 1) * _MOST + len(due),
        turn=turn,
    )


@router.post("/follow-ups")
def many(desk: TheDesk, person: Who, form: Annotated[Ticked, Depends(_ticked)]) -> RedirectResponse:
    """Tick off, put off or open again what was chosen, all of it or none."""
    if not form.which:
        raise ReviewError(gettext("nothing was chosen"), remedy=gettext("Tick the lines first"))
    _do(desk, person, form)
    return back_to(_list_path(form))


@router.post("/follow-ups/open")
def open_again(
    desk: TheDesk,
    person: Who,
    form: Annotated[Form, fastapi.Form()],
) -> RedirectResponse:
    """Open again what this person's last step on the list closed."""
    with desk.database.writing() as session:
        for one in person.last_due:
            untick(session, one, by=person.name)
    person.notice = gettext("Open again: %(lines)s.", lines=_lines(len(person.last_due)))
    person.last_due = ()
    return back_to("/follow-ups")


@router.get("/follow-ups.ics")
def calendar(desk: TheDesk, _person: Who, farm: str = "") -> Response:
    """The open follow-ups as a calendar file."""
    with desk.database.reading() as session:
        farms = farm_rows(session)
        at = next((one for one in farms if str(one.id) == farm), None)
        scope = Scope(farm_id=at.id) if at else Scope()
        rows = follow_up_rows(session, scope, open_only=True)
        about = what_about(session, rows)
    names = {one.id: one.name for one in farms}
    made = calendar_of(rows, names, stamp=dt.datetime.now(dt.UTC), about=about)
    headers = {"Content-Disposition": 'attachment; filename="due.ics"'}
    return Response(made, media_type="text/calendar", headers=headers)


def _do(desk: Desk, person: Person, form: Ticked) -> None:
    if form.do == "later" and not form.until:
        raise ReviewError(
            gettext("no day was given to put it off to"), remedy=gettext("Choose a day first")
        )
    with desk.database.writing() as session:
        for one in form.which:
            if form.do == "done":
                tick_off(session, one, by=person.name, on=desk.today())
            elif form.until:
                put_off(session, one, form.until, by=person.name, today=desk.today())
            else:
                untick(session, one, by=person.name)
    lines = _lines(len(form.which))
    if form.do == "done":
        person.notice = gettext("Done: %(lines)s.", lines=lines)
    elif form.until:
        person.notice = gettext(
            "Put off to %(day)s: %(lines)s.", day=written_day(form.until), lines=lines
        )
    else:
        person.notice = gettext("Open again: %(lines)s.", lines=lines)
    person.last_due = form.which if form.do != "open" else ()
    person.undo_path = "/follow-ups/open" if person.last_due else ""


def _lines(count: int) -> str:
    return ngettext("%(num)s line", "%(num)s lines", count)


def _list_path(form: Ticked) -> str:
    farm = f"&farm={form.farm}" if form.farm.isdecimal() else ""
    return f"/follow-ups?span={form.span}{farm}" + (f"&turn={form.turn}" if form.turn > 1 else "")
