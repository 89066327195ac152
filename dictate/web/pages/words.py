"""Words of a note put right in place: one at a time, with what is offered there and how it then reads."""

from functools import partial
from typing import Annotated
from urllib.parse import urlencode

import fastapi
from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse
from pydantic import BaseModel, BeforeValidator, Field

from dictate.review import acts
from dictate.review.in_place import correcting
from dictate.review.line import Line, line_of
from dictate.store.clips import clip_at, forgotten_on
from dictate.store.visits import place_of
from dictate.texts import gettext
from dictate.web.desk import Form, OptionalId, TheDesk, back_to, page
from dictate.web.guard import Who
from dictate.web.showing import queue_path

router = APIRouter()


class Place(BaseModel):
    """What an address of the page tells; nothing is kept between its pages."""

    text: Annotated[str | None, BeforeValidator(lambda value: value or None)] = Field(
        default=None, max_length=4000
    )
    at: int = Field(default=0, ge=0)
    room: bool = False
    find: bool = True
    typed: str = Field(default="", max_length=400)
    take: bool = False
    """The typed words are put in; else words that begin so are shown."""
    then: OptionalId = None


class Taken(Form):
    version: int
    then: OptionalId = None
    text: str = Field(max_length=4000)
    confirm: bool = False
    sure: bool = False


Where = Annotated[Place, Query()]


@router.get("/entries/{entry_id}/words", response_class=HTMLResponse)
def words_page(
    request: Request, desk: TheDesk, _person: Who, entry_id: int, where: Where
) -> HTMLResponse:
    """The words with one place marked."""
    return _page(request, desk, entry_id, where, "words.html")


@router.get("/entries/{entry_id}/words/offered", response_class=HTMLResponse)
def offered_here(
    request: Request, desk: TheDesk, _person: Who, entry_id: int, where: Where
) -> HTMLResponse:
    """Only what is offered at the place, while letters are typed."""
    return _page(request, desk, entry_id, where.model_copy(update={"find": False}), "_offered.html")


@router.post("/entries/{entry_id}/words")
def take_words(
    desk: TheDesk, person: Who, entry_id: int, form: Annotated[Taken, fastapi.Form()]
) -> RedirectResponse:
    """Read the words in place of the heard ones, and confirm what the page showed that they record."""
    put = partial(
        acts.put_words_right, desk.database, desk.settings, entry_id, form.text,
        by=person.name, version=form.version,
    )  # fmt: skip
    try:
        done = put(then_confirm=form.confirm, sure=form.sure)
    except acts.NeedsSureError:  # the words are kept; the card asks for the other key
        done = put()
        person.done(gettext("The words are kept. Look at the number before you confirm."), done)
        return back_to(queue_path(done.entry.visit_id, entry_id, form.then))
    if form.confirm:
        person.done(f"Confirmed: {done.entry.sentence}.", done)
        return back_to(queue_path(done.entry.visit_id, form.then))
    person.done(gettext("Changed. Confirm when it is right."), done)
    return back_to(queue_path(done.entry.visit_id, entry_id, form.then))


def _page(
    request: Request, desk: TheDesk, entry_id: int, where: Place, template: str
) -> HTMLResponse:
    then = where.then
    with desk.database.reading() as session:
        correct = correcting(session, desk.settings, entry_id)
        if where.take and where.typed.strip():
            line = line_of(where.text or correct.heard, at=where.at, room=where.room)
            line = line.put(where.typed)
            where = Place(text=line.text, at=line.at, room=line.room)
        here = correct.look(
            text=where.text, at=where.at, room=where.room, find=where.find, typed=where.typed
        )
        line = here.line
        # Asked for while the session is open.
        offers = [
            (str(key), one, _path(entry_id, one.put_into(line), then, find=True))
            for key, one in enumerate(here.offers, start=1)
        ]
        place = place_of(session, here.entry.visit_id)
        clip = clip_at(session, correct.note.clip_id)
        forgotten = forgotten_on(session, correct.note.clip_id)
    return page(
        request,
        template,
        place=place,
        sound={"clip": clip, "sound_forgotten": forgotten},
        here=here,
        asked=where.typed,
        line=line,
        offers=offers,
        words=[(_path(entry_id, line.go(at), then), word) for at, word in enumerate(here.words)],
        end=_path(entry_id, line.go(len(line.words)), then),
        left=_path(entry_id, line.go(line.at - 1), then) if line.at else "",
        right=_path(entry_id, line.go(line.at + 1), then) if line.at < len(line.words) else "",
        room=_path(entry_id, line.make_room(), then),
        drop=_path(entry_id, line.drop(), then, find=True),
        then=then or "",
        home=queue_path(here.entry.visit_id, entry_id, then),
    )


def _path(entry_id: int, line: Line, then: int | None, *, find: bool = False) -> str:
    asked = {"text": line.text, "at": line.at, "room": line.room, "find": find, "then": then or ""}
    return f"/entries/{entry_id}/words?{urlencode(asked)}"
