"""Farms: a list, one farm with its visits, a new one, and another name for one."""

import datetime as dt
from typing import Annotated

import fastapi
from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse
from pydantic import Field

from dictate.errors import NotFoundError, ReviewError
from dictate.store.farms import farm_at, farm_by_name, rename_farm
from dictate.store.overview import farm_lines, visit_lines
from dictate.store.record_queries import visit_rows
from dictate.texts import gettext
from dictate.web.desk import Form, TheDesk, back_to, page
from dictate.web.guard import Who
from dictate.web.settings_file import follow_farm

router = APIRouter()
_SOON = dt.timedelta(days=7)
_VISITS = 60


class Named(Form):
    name: str = Field(max_length=100)


@router.get("/farms", response_class=HTMLResponse)
def farms(request: Request, desk: TheDesk, _person: Who) -> HTMLResponse:
    """All farms by name."""
    with desk.database.reading() as session:
        lines = farm_lines(session, due_until=desk.today() + _SOON)
    return page(request, "farms.html", lines=lines)


@router.post("/farms")
def add(desk: TheDesk, person: Who, form: Annotated[Named, fastapi.Form()]) -> RedirectResponse:
    """Make a farm; one of that name that is there already is simply shown."""
    if not (name := form.name.strip()):
        raise ReviewError(gettext("the farm has no name"), remedy=gettext("Type one"))
    with desk.database.writing() as session:
        made = farm_by_name(session, name, make=True)
        farm_id = made.id
    person.notice = gettext("%(name)s is kept.", name=name)
    return back_to(f"/farms/{farm_id}")


@router.get("/farms/{farm_id}", response_class=HTMLResponse)
def farm(request: Request, desk: TheDesk, _person: Who, farm_id: int) -> HTMLResponse:
    """One farm: what waits, what is due, its visits."""
    with desk.database.reading() as session:
        lines = farm_lines(session, due_until=desk.today() + _SOON, farm_id=farm_id)
        if not lines:
            raise NotFoundError(
                gettext("this farm is not there"), remedy=gettext("Choose one from the list")
            )
        visits = visit_lines(session, farm_id=farm_id, most=_VISITS)
        years = sorted({row.on.year for row in visit_rows(session, farm_id=farm_id)}, reverse=True)
    return page(request, "farm.html", farm=lines[0], visits=visits, years=years, most=_VISITS)


@router.post("/farms/{farm_id}/name")
def rename(
    desk: TheDesk, person: Who, farm_id: int, form: Annotated[Named, fastapi.Form()]
) -> RedirectResponse:
    """Give a farm another name."""
    with desk.database.writing() as session:
        at = farm_at(session, farm_id)
        was = rename_farm(session, at, form.name, by=person.name)
        name = at.name
    desk.settings = follow_farm(desk.settings, was, name)
    person.notice = gettext("%(was)s is called %(name)s from now on.", was=was, name=name)
    return back_to(f"/farms/{farm_id}")
