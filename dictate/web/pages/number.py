"""Another number for an entry: the likeliest of the roster, one key each; digits narrow them down."""

from string import ascii_lowercase
from typing import Annotated

import fastapi
from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse
from pydantic import Field

from dictate.review import acts
from dictate.review.changes import number_settles
from dictate.review.showing import card_of, further_animals
from dictate.store.visits import place_of
from dictate.texts import gettext
from dictate.web.desk import Form, OptionalId, TheDesk, back_to, page
from dictate.web.guard import Who
from dictate.web.showing import queue_path

router = APIRouter()
_KEYS = ascii_lowercase


class Numbered(Form):
    version: int
    then: OptionalId = None
    number: str = Field(max_length=15, pattern=r"^\d+$")


@router.get("/entries/{entry_id}/number", response_class=HTMLResponse)
def another_number(
    request: Request,
    desk: TheDesk,
    _person: Who,
    entry_id: int,
    begins: Annotated[str, Query(max_length=15, pattern=r"^\d*$")] = "",
    then: OptionalId = None,
) -> HTMLResponse:
    """Numbers to choose from: those that sound most alike, or those that begin with some digits."""
    with desk.database.reading() as session:
        card = card_of(session, entry_id)
        found = further_animals(session, entry_id, begins=begins, most=len(_KEYS))
        place = place_of(session, card.entry.visit_id)
    return page(
        request,
        "number.html",
        card=card,
        place=place,
        begins=begins,
        choices=list(zip(_KEYS, found, strict=False)),
        known=begins in found,
        settled=number_settles(card.values),
        then=then or "",
        home=queue_path(card.entry.visit_id, entry_id, then),
    )


@router.post("/entries/{entry_id}/number")
def confirm_number(
    desk: TheDesk, person: Who, entry_id: int, form: Annotated[Numbered, fastapi.Form()]
) -> RedirectResponse:
    """Confirm the entry for a number of the list: a digit typed before it vouches for the letter."""
    done = acts.choose_number(
        desk.database, desk.settings, entry_id, form.number,
        by=person.name, version=form.version, then_confirm=True,
    )  # fmt: skip
    person.done(gettext("Confirmed: %(reading)s.", reading=done.entry.sentence), done)
    return back_to(queue_path(done.entry.visit_id, form.then))
