"""What was left aside as talk at a visit: its sound and words, and the way back into the queue."""

from typing import Annotated

import fastapi
from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse

from dictate.review import acts
from dictate.review.waiting import left_aside
from dictate.store.visits import place_of
from dictate.texts import gettext
from dictate.web.desk import Form, TheDesk, back_to, page
from dictate.web.guard import Who

router = APIRouter()


class Back(Form):
    version: int


@router.get("/visits/{visit_id}/left-aside", response_class=HTMLResponse)
def list_left_aside(request: Request, desk: TheDesk, _person: Who, visit_id: int) -> HTMLResponse:
    """List a visit's talk."""
    with desk.database.reading() as session:
        place = place_of(session, visit_id)
        rows = left_aside(session, visit_id)
    return page(request, "left_aside.html", place=place, rows=rows)


@router.post("/entries/{entry_id}/bring-back")
def bring_one_back(
    desk: TheDesk, person: Who, entry_id: int, form: Annotated[Back, fastapi.Form()]
) -> RedirectResponse:
    """Put one back into the queue."""
    done = acts.bring_back(
        desk.database, desk.settings, entry_id, by=person.name, version=form.version
    )
    person.done(gettext("It waits in the queue again."), done)
    return back_to(f"/visits/{done.entry.visit_id}/left-aside")
