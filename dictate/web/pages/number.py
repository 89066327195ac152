"""Another number for an entry: the likeliest of the roster, one key each; digits narrow them down."""

from string import ascii_lowercase
from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse

from dictate.review.showing import card_of, further_animals
from dictate.web.desk import OptionalId, TheDesk, page
from dictate.web.guard import Who
from dictate.web.showing import place_of, queue_path

__all__ = ["router"]

router = APIRouter()
_KEYS = ascii_lowercase


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
        then=then or "",
        home=queue_path(card.entry.visit_id, entry_id, then),
    )
