"""What happens to an animal: it left or is back, or turns out to be another one."""

from typing import Annotated

import fastapi
from fastapi import APIRouter
from fastapi.responses import RedirectResponse
from pydantic import Field

from dictate.store.animal_history import find_animal
from dictate.store.animal_search import animal_at
from dictate.store.animals import merge_animals, set_status, undo_merge
from dictate.store.farms import farm_at
from dictate.store.states import AnimalStatus
from dictate.texts import gettext, translated
from dictate.web.desk import Form, TheDesk, back_to
from dictate.web.guard import Who

router = APIRouter()


class NowIs(Form):
    status: AnimalStatus


class IsReally(Form):
    number: str = Field(min_length=1, max_length=40)


@router.post("/animals/{animal_id}/status")
def status(
    desk: TheDesk, person: Who, animal_id: int, form: Annotated[NowIs, fastapi.Form()]
) -> RedirectResponse:
    """Note that an animal was sold, died, left the roster, or is back."""
    with desk.database.writing() as session:
        number = set_status(session, animal_id, form.status, by=person.name).number
    person.notice = gettext(
        "Cow %(number)s is %(status)s. The history stays.",
        number=number,
        status=translated(form.status),
    )
    return back_to(f"/animals/{animal_id}")


@router.post("/animals/{animal_id}/join")
def join(
    desk: TheDesk, person: Who, animal_id: int, form: Annotated[IsReally, fastapi.Form()]
) -> RedirectResponse:
    """Show an animal's history under another number: the two are one."""
    with desk.database.writing() as session:
        one = animal_at(session, animal_id)
        farm = farm_at(session, one.farm_id)
        into = find_animal(session, form.number.strip(), farm=farm.name)
        merge_animals(session, one.id, into.id, by=person.name)
        person.notice = gettext(
            "Cow %(number)s is cow %(other)s from now on.", number=one.number, other=into.number
        )
        person.undo_path = f"/animals/{one.id}/part"
        return back_to(f"/animals/{into.id}")


@router.post("/animals/{animal_id}/part")
def part(
    desk: TheDesk, person: Who, animal_id: int, _form: Annotated[Form, fastapi.Form()]
) -> RedirectResponse:
    """Take two numbers apart again that were said to be one animal."""
    with desk.database.writing() as session:
        number = undo_merge(session, animal_id, by=person.name).number
    person.notice = gettext("Cow %(number)s is an animal of its own again.", number=number)
    return back_to(f"/animals/{animal_id}")
