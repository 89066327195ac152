"""First steps: the few things to do once, each on the page that does it."""

from typing import Annotated

import fastapi
from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse
from pydantic import Field

from dictate.settings import named
from dictate.store.farms import farm_by_name, name_the_unnamed
from dictate.store.overview import farm_lines, visit_lines
from dictate.texts import gettext
from dictate.web.desk import Form, TheDesk, back_to, page
from dictate.web.guard import Who
from dictate.web.settings_file import keep_settings

router = APIRouter()


class Names(Form):
    trimmer: str = Field(min_length=1, max_length=100)
    farm: str = Field(default="", max_length=100)


@router.get("/first-steps", response_class=HTMLResponse)
def first_steps(request: Request, desk: TheDesk, _person: Who) -> HTMLResponse:
    """What is done and what is still to do."""
    with desk.database.reading() as session:
        farms = farm_lines(session, due_until=desk.today())
        visits = visit_lines(session, most=1)
    return page(
        request,
        "first_steps.html",
        named=bool(named(desk.settings.trimmer)),
        farms=farms,
        on_roster=sum(one.on_roster for one in farms),
        recorded=bool(visits),
        settings=desk.settings,
    )


@router.post("/first-steps")
def keep_names(
    desk: TheDesk, person: Who, form: Annotated[Names, fastapi.Form()]
) -> RedirectResponse:
    """Keep the trimmer's name and make the first farm."""
    farm = form.farm.strip()
    name = form.trimmer.strip()
    changes = {"trimmer": name, **({"farm": farm} if farm else {})}
    desk.settings = keep_settings(desk.settings, changes)
    with desk.database.writing() as session:
        name_the_unnamed(session, name)
        if farm:
            farm_by_name(session, farm, make=True)
    person.name, person.notice = desk.settings.trimmer, gettext("Kept.")
    return back_to("/first-steps")
