"""The evening's queue: one card at a time, riskiest first, decided with one key."""

from collections.abc import Sequence
from typing import Annotated

import fastapi
from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse
from pydantic import Field

from dictate.entry.wording import say_entry
from dictate.errors import ConflictError
from dictate.review import acts
from dictate.review.card import TEXT
from dictate.review.measure import pace_of
from dictate.review.order import groups
from dictate.review.showing import card_of
from dictate.review.waiting import WaitingEntry, waiting
from dictate.store.places import place_of
from dictate.web.desk import Form, OptionalId, TheDesk, back_to, page
from dictate.web.guard import Who
from dictate.web.showing import queue_path

__all__ = ["router"]

router = APIRouter()
_SHOWN = 30
"""Entries listed under the card."""


class Decision(Form):
    version: int
    then: OptionalId = None
    """The entry to go to afterwards."""


class Confirming(Decision):
    sure: bool = False
    """An animal that the roster lacks may enter the record."""


class Choosing(Decision):
    path: str = Field(max_length=400)
    value: str = Field(max_length=4000)


class Rejecting(Decision):
    reason: str = Field(max_length=400)


class Together(Form):
    expected: str = Field(max_length=200_000)


@router.get("/visits/{visit_id}/queue", response_class=HTMLResponse)
def queue(
    request: Request,
    desk: TheDesk,
    person: Who,
    visit_id: int,
    entry: int | None = None,
    then: OptionalId = None,
) -> HTMLResponse:
    """One visit's queue with the card of one entry, the first unless named.

    `then` is the entry that follows, when a change moved this one to another place in the queue.
    """
    with desk.database.reading() as session:
        place = place_of(session, visit_id)
        entries = waiting(session, visit_id)
        at = next((at for at, one in enumerate(entries) if one.id == entry), 0)
        pace = pace_of(session, person.name)
        marked = sum(bool(one.values.marks) for one in entries)
        return page(
            request,
            "queue.html",
            place=place,
            card=card_of(session, entries[at].id, settings=desk.settings) if entries else None,
            at=at,
            earlier=entries[at - 1] if at > 0 else None,
            then=_onward(entries, at, then),
            rest=entries[at + 1 : at + 1 + _SHOWN],
            total=len(entries),
            marked=marked,
            plain=sum(bool(one.values.animal) and not one.values.marks for one in entries),
            seconds=pace.seconds(marked=marked, plain=len(entries) - marked),
            pace=pace,
            order=groups(),
            sentence=say_entry,
            reasons=acts.REASONS,
        )


@router.get("/visits/{visit_id}/waiting", response_class=HTMLResponse)
def count(request: Request, desk: TheDesk, visit_id: int, shown: int) -> HTMLResponse:
    """A line that tells of entries that came in since the page was made."""
    with desk.database.reading() as session:
        total = len(waiting(session, visit_id))
    return page(request, "waiting.html", total=total, shown=shown, visit_id=visit_id)


@router.post("/entries/{entry_id}/confirm")
def confirm_one(
    desk: TheDesk, person: Who, entry_id: int, form: Annotated[Confirming, fastapi.Form()]
) -> RedirectResponse:
    """Confirm the card's entry and go on to the next."""
    done = acts.confirm(
        desk.database, desk.settings, entry_id,
        by=person.name, version=form.version, sure=form.sure,
    )  # fmt: skip
    person.done(f"Confirmed: {done.entry.sentence}.", done)
    return back_to(queue_path(done.entry.visit_id, form.then))


@router.post("/entries/{entry_id}/choose")
def choose(
    desk: TheDesk, person: Who, entry_id: int, form: Annotated[Choosing, fastapi.Form()]
) -> RedirectResponse:
    """Take what the card offered, and show the card again."""
    seen = {"by": person.name, "version": form.version}
    if form.path == TEXT:
        done = acts.put_words_right(desk.database, desk.settings, entry_id, form.value, **seen)
    elif form.path == "animal" and form.value:
        done = acts.choose_number(desk.database, desk.settings, entry_id, form.value, **seen)
    else:
        changes = dict.fromkeys(form.path.split(","), form.value or None)
        done = acts.amend(desk.database, desk.settings, entry_id, changes, **seen)
    person.done("Changed. Confirm when it is right.", done)
    return back_to(queue_path(done.entry.visit_id, entry_id, form.then))


@router.post("/entries/{entry_id}/join")
def join_before(
    desk: TheDesk, person: Who, entry_id: int, form: Annotated[Decision, fastapi.Form()]
) -> RedirectResponse:
    """Give the entry to the animal before it."""
    done = acts.join(desk.database, desk.settings, entry_id, by=person.name, version=form.version)
    person.done(f"Joined to cow {done.entry.values.animal}.", done)
    return back_to(queue_path(done.entry.visit_id, done.entry.id, form.then))


@router.post("/entries/{entry_id}/reject")
def reject_one(
    desk: TheDesk, person: Who, entry_id: int, form: Annotated[Rejecting, fastapi.Form()]
) -> RedirectResponse:
    """Discard the entry with a reason and go on to the next."""
    done = acts.discard(
        desk.database, desk.settings, entry_id, form.reason, by=person.name, version=form.version
    )
    person.done(f"Discarded: {form.reason}.", done)
    return back_to(queue_path(done.entry.visit_id, form.then))


@router.post("/undo")
def undo_last(
    desk: TheDesk, person: Who, _form: Annotated[Form, fastapi.Form()]
) -> RedirectResponse:
    """Take back this person's last act, whatever it was."""
    done = acts.undo_last(desk.database, desk.settings, by=person.name)
    back = len(done.entries)
    person.done("Undone." if back == 1 else f"Undone: {back} entries are back.", done)
    person.undo_path = ""
    return back_to(queue_path(done.entry.visit_id, done.entry.id))


@router.get("/visits/{visit_id}/unmarked", response_class=HTMLResponse)
def list_unmarked(request: Request, desk: TheDesk, visit_id: int) -> HTMLResponse:
    """List what confirming all entries without marks would do."""
    with desk.database.reading() as session:
        place = place_of(session, visit_id)
        entries = acts.unmarked(session, visit_id)
    expected = ",".join(f"{one.id}:{one.version}" for one in entries)
    return page(
        request,
        "unmarked.html",
        place=place,
        entries=entries,
        expected=expected,
    )


@router.post("/visits/{visit_id}/confirm-unmarked")
def confirm_listed(
    desk: TheDesk, person: Who, visit_id: int, form: Annotated[Together, fastapi.Form()]
) -> RedirectResponse:
    """Confirm exactly the entries that were listed, as one act."""
    done = acts.confirm_together(
        desk.database, desk.settings, visit_id, by=person.name, expected=_versions(form.expected)
    )
    if done is not None:
        person.done(f"Confirmed {len(done.entries)} entries without marks together.", done)
    return back_to(queue_path(visit_id))


def _versions(text: str) -> dict[int, int]:
    try:
        pairs = [pair.split(":") for pair in text.split(",") if pair]
        return {int(entry): int(version) for entry, version in pairs}
    except ValueError as error:
        raise ConflictError(
            "the list of entries does not read", remedy="List them again"
        ) from error


def _onward(entries: Sequence[WaitingEntry], at: int, then: int | None) -> int | None:
    """The entry to go to after the card's: the one asked for, the next, or the one before the last."""
    if any(one.id == then for place, one in enumerate(entries) if place != at):
        return then
    if at + 1 < len(entries):
        return entries[at + 1].id
    return entries[at - 1].id if at > 0 else None
