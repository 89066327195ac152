"""One entry: looked at with its history, fixed slot by slot, split, or typed anew."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Literal

import fastapi
from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from pydantic import Field

from dictate.entry.terms import STAGES
from dictate.entry.wording import say_items
from dictate.errors import ConflictError, DictateError, ReviewError
from dictate.review import acts
from dictate.review.acts import ITEMS, Now
from dictate.review.card import text_to_type
from dictate.review.showing import card_of
from dictate.review.written_changes import changes_from_form, terms_of
from dictate.store.history import history_of
from dictate.store.states import EntryState
from dictate.store.visits import place_of
from dictate.texts import gettext, noted, translated
from dictate.web.desk import Form, OptionalId, TheDesk, back_to, page
from dictate.web.guard import Who
from dictate.web.showing import queue_path
from grammar import load_lexicon

if TYPE_CHECKING:
    from dictate.store.tables import Entry

router = APIRouter()
_WORDS_OFFERED = 3
"""Words of the longest names of lesions in the list to choose from."""
HISTORY = (
    noted("queued"), noted("read again"), noted("amended"), noted("confirmed"), noted("rejected"),
    noted("restored"), noted("brought back"), noted("moved"), noted("handed on"), noted("typed"), noted("undone"),
)  # fmt: skip
"""What the history of an entry says was done; the record keeps it in English."""


class Seen(Form):
    version: int


class Typed(Seen):
    then: OptionalId = None
    text: str = Field(max_length=4000)


class Discard(Seen):
    reason: str = Field(max_length=400)


async def _fields(request: Request) -> dict[str, list[str]]:
    """All fields of a form whose names are not known beforehand."""
    form = await request.form()
    return {name: [str(value) for value in form.getlist(name)] for name in form}


Fields = Annotated[dict[str, list[str]], Depends(_fields)]


@router.get("/entries/{entry_id}", response_class=HTMLResponse)
def entry_page(request: Request, desk: TheDesk, _person: Who, entry_id: int) -> HTMLResponse:
    """Show an entry, what was heard, and everything that was ever done with it."""
    with desk.database.reading() as session:
        card = card_of(session, entry_id)
        place = place_of(session, card.entry.visit_id)
        events = history_of(session, "entry", entry_id)
    return page(request, "entry.html", card=card, place=place, events=events)


@router.get("/entries/{entry_id}/fix", response_class=HTMLResponse)
def fix_page(
    request: Request,
    desk: TheDesk,
    _person: Who,
    entry_id: int,
    at: Literal["animal", "typed", "spoken"] = "animal",
    then: OptionalId = None,
) -> HTMLResponse:
    """The form with every slot; `at` is where the writing begins."""
    return _fix_page(request, desk, entry_id, at=at, then=then)


@router.post("/entries/{entry_id}/fix")
def fix_entry(
    request: Request, desk: TheDesk, person: Who, entry_id: int, fields: Fields
) -> Response:
    """Change what differs in the form."""
    given = {name: values[-1] for name, values in fields.items()}
    given.pop("csrf", None)
    then = _id(given.pop("then", ""))
    version = _version(given.pop("version", ""))
    given.pop("remove", None)
    sure = bool(given.pop("sure", ""))
    try:
        with desk.database.reading() as session:
            card = card_of(session, entry_id)
            day = place_of(session, card.entry.visit_id).visit.date
        changes = changes_from_form(card.values, given, fields.get("remove", ()), on=day)
        if changes:
            done = acts.amend(
                desk.database, desk.settings, entry_id, changes,
                by=person.name, version=version, sure=sure,
            )  # fmt: skip
            person.done(gettext("Changed. Confirm when it is right."), done)
        else:
            person.notice, person.undo_path = gettext("Nothing was changed."), ""
    except (ConflictError, ReviewError) as error:
        return _fix_page(request, desk, entry_id, fault=error, given=given, then=then)
    return back_to(_home(card.entry, then))


@router.post("/entries/{entry_id}/retype")
def retype_entry(
    request: Request,
    desk: TheDesk,
    person: Who,
    entry_id: int,
    form: Annotated[Typed, fastapi.Form()],
) -> Response:
    """Read typed words in place of the heard ones."""
    try:
        done = acts.put_words_right(
            desk.database, desk.settings, entry_id, form.text,
            by=person.name, version=form.version,
        )  # fmt: skip
    except (ConflictError, ReviewError) as error:
        return _fix_page(request, desk, entry_id, fault=error, text=form.text, then=form.then)
    person.done(gettext("Read again from what you typed."), done)
    return back_to(_home(done.entry, form.then))


@router.post("/entries/{entry_id}/split")
def split_entry(
    request: Request, desk: TheDesk, person: Who, entry_id: int, fields: Fields
) -> Response:
    """Move the chosen items to a new entry of another animal."""
    moved = [_item(text) for text in fields.get("moved", ())]
    animal = fields.get("animal", [""])[-1]
    version = _version(fields.get("version", [""])[-1])
    try:
        done = acts.split(
            desk.database, desk.settings, entry_id, moved, animal,
            by=person.name, version=version,
        )  # fmt: skip
    except ReviewError as error:
        return _fix_page(request, desk, entry_id, fault=error)
    person.done(gettext("Split in two. This is the new entry."), done)
    return back_to(_home(done.entry))


@router.post("/entries/{entry_id}/discard")
def discard(
    desk: TheDesk, person: Who, entry_id: int, form: Annotated[Discard, fastapi.Form()]
) -> RedirectResponse:
    """Take a confirmed entry out of the herd record again, with a reason."""
    done = acts.discard(
        desk.database, desk.settings, entry_id, form.reason, by=person.name, version=form.version
    )
    person.done(gettext("Discarded: %(reason)s.", reason=translated(form.reason)), done)
    return back_to(f"/entries/{entry_id}")


@router.post("/entries/{entry_id}/undo")
def undo_entry(
    desk: TheDesk, person: Who, entry_id: int, form: Annotated[Seen, fastapi.Form()]
) -> RedirectResponse:
    """Take back the newest decision on this entry."""
    done = acts.undo(desk.database, desk.settings, entry_id, by=person.name, version=form.version)
    person.done(gettext("Undone."), done)
    person.undo_path = ""
    return back_to(f"/entries/{entry_id}")


def _fix_page(
    request: Request,
    desk: TheDesk,
    entry_id: int,
    *,
    fault: DictateError | None = None,
    given: Mapping[str, str] | None = None,
    text: str | None = None,
    at: str = "",
    then: int | None = None,
) -> HTMLResponse:
    with desk.database.reading() as session:
        card = card_of(session, entry_id)
        place = place_of(session, card.entry.visit_id)
    lexicon = load_lexicon()
    items = say_items(card.values)
    return page(
        request,
        "fix.html",
        status=200 if fault is None else 409 if isinstance(fault, ConflictError) else 422,
        card=card,
        place=place,
        fault=fault,
        want_sure=isinstance(fault, acts.NeedsSureError),
        given=given or {},
        typing=text_to_type(card.words) if text is None else (text, len(text), len(text)),
        items=items,
        lesions=list(lexicon.lesions),
        lesion_terms=_to_choose_from(terms_of("LESION")),
        kinds=list(dict.fromkeys(terms_of("ACTION").values())),
        dues=list(dict.fromkeys(terms_of("FOLLOWUP").values())),
        stages=STAGES,
        home=_home(card.entry, then),
        at=at,
        then=then or "",
    )


def _to_choose_from(terms: Mapping[str, str]) -> dict[str, str]:
    """The short ones: the list travels with the page, and whatever can be said can be typed as well."""
    return {
        phrase: named for phrase, named in terms.items() if len(phrase.split()) <= _WORDS_OFFERED
    }


def _home(entry: "Entry | Now", then: int | None = None) -> str:
    if entry.state == EntryState.WAITING:
        return queue_path(entry.visit_id, entry.id, then)
    return f"/entries/{entry.id}"


def _id(text: str) -> int | None:
    return int(text) if text.isdecimal() else None


def _version(text: str) -> int:
    if not text.isdecimal():
        raise ReviewError(
            gettext("the form does not say which version it shows"), remedy=gettext("Open it again")
        )
    return int(text)


def _item(text: str) -> tuple[str, int]:
    name, _, at = text.partition(".")
    if name not in ITEMS or not at.isdecimal():
        raise ReviewError(f"there is no item {text!r}")
    return name, int(at)
