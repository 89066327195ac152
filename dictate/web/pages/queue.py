"""The evening's queue: one card at a time, riskiest first, decided with one key."""

from collections.abc import Sequence
from string import ascii_lowercase
from typing import Annotated, Any, Literal

import fastapi
from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse
from pydantic import Field

from dictate.entry.wording import say_entry
from dictate.errors import ConflictError, ReviewError
from dictate.review import acts
from dictate.review.card import TEXT
from dictate.review.measure import pace_of
from dictate.review.showing import card_of
from dictate.review.waiting import WaitingEntry, groups, to_confirm_together, waiting
from dictate.sheets.claw_drawing import BETWEEN, zone_words
from dictate.store.visits import place_of
from dictate.texts import gettext, ngettext, translated
from dictate.texts.below import told
from dictate.voice.evening import after_review
from dictate.web.desk import Form, OptionalId, TheDesk, back_to, page
from dictate.web.guard import Who
from dictate.web.showing import queue_path
from grammar import load_lexicon

router = APIRouter()
_SHOWN = 30
"""Entries listed under the card."""
_PICKS = {"zone": "0123456789" + ascii_lowercase, "lesion": ascii_lowercase}
"""Keys of the zones and of the lesions, one after the other."""


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


class Placing(Decision):
    finding: int = Field(ge=0, le=200)
    foot: Literal["LF", "RF", "LH", "RH"]
    claw: Literal["outer", "inner", ""] = ""
    zone: int = Field(ge=0, le=12)


class Rejecting(Decision):
    reason: str = Field(max_length=400)


async def _ticked(request: Request) -> dict[int, int]:
    """Entry to version of every line that is ticked."""
    form = await request.form()
    return _versions(",".join(str(one) for one in form.getlist("which")))


Ticked = Annotated[dict[int, int], Depends(_ticked)]


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
        if entries:
            desk.look(person.name, entries[at].id)
        learning = None if entries else after_review(desk.database, desk.settings)
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
            zones=[(zone, str(zone)) for zone, _ in zone_words()],
            lesions=[(lesion, told(lesion)) for lesion in load_lexicon().lesions],
            picks=_PICKS,
            learning=learning,
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
    person.done(gettext("Confirmed: %(reading)s.", reading=done.entry.sentence), done)
    return back_to(queue_path(done.entry.visit_id, form.then))


@router.post("/entries/{entry_id}/choose")
def choose(
    desk: TheDesk, person: Who, entry_id: int, form: Annotated[Choosing, fastapi.Form()]
) -> RedirectResponse:
    """Take what the card offered, and show the card again."""
    seen: dict[str, Any] = {"by": person.name, "version": form.version}
    if form.path == TEXT:
        done = acts.put_words_right(desk.database, desk.settings, entry_id, form.value, **seen)
    elif form.path == "animal" and form.value:
        done = acts.choose_number(desk.database, desk.settings, entry_id, form.value, **seen)
    else:
        changes = dict.fromkeys(form.path.split(","), form.value or None)
        done = acts.amend(desk.database, desk.settings, entry_id, changes, **seen)
    person.done(gettext("Changed. Confirm when it is right."), done)
    return back_to(queue_path(done.entry.visit_id, entry_id, form.then))


@router.post("/entries/{entry_id}/place")
def place_finding(
    desk: TheDesk, person: Who, entry_id: int, form: Annotated[Placing, fastapi.Form()]
) -> RedirectResponse:
    """Move a finding to the zone that was clicked on the claw map."""
    at = f"findings.{form.finding}"
    changes: dict[str, object] = {f"{at}.foot": form.foot, f"{at}.zone": form.zone}
    if form.zone not in BETWEEN:
        changes[f"{at}.claw"] = form.claw or None
    done = acts.amend(
        desk.database, desk.settings, entry_id, changes, by=person.name, version=form.version
    )
    person.done(gettext("Changed. Confirm when it is right."), done)
    return back_to(queue_path(done.entry.visit_id, entry_id, form.then))


@router.post("/entries/{entry_id}/join")
def join_before(
    desk: TheDesk, person: Who, entry_id: int, form: Annotated[Decision, fastapi.Form()]
) -> RedirectResponse:
    """Give the entry to the animal before it."""
    done = acts.join(desk.database, desk.settings, entry_id, by=person.name, version=form.version)
    person.done(gettext("Joined to cow %(number)s.", number=done.entry.values.animal), done)
    return back_to(queue_path(done.entry.visit_id, done.entry.id, form.then))


@router.post("/entries/{entry_id}/reject")
def reject_one(
    desk: TheDesk, person: Who, entry_id: int, form: Annotated[Rejecting, fastapi.Form()]
) -> RedirectResponse:
    """Discard the entry with a reason and go on to the next."""
    done = acts.discard(
        desk.database, desk.settings, entry_id, form.reason, by=person.name, version=form.version
    )
    person.done(gettext("Discarded: %(reason)s.", reason=translated(form.reason)), done)
    return back_to(queue_path(done.entry.visit_id, form.then))


@router.post("/undo")
def undo_last(
    desk: TheDesk, person: Who, _form: Annotated[Form, fastapi.Form()]
) -> RedirectResponse:
    """Take back this person's last act, whatever it was."""
    done = acts.undo_last(desk.database, desk.settings, by=person.name)
    if done is None:
        person.notice, person.undo_path = (
            gettext("Undone: the notes are back where they were."),
            "",
        )
        return back_to("/")
    back = len(done.entries)
    person.done(
        gettext("Undone.")
        if back == 1
        else ngettext("Undone: %(num)s entry is back.", "Undone: %(num)s entries are back.", back),
        done,
    )
    person.undo_path = ""
    return back_to(queue_path(done.entry.visit_id, done.entry.id))


@router.get("/visits/{visit_id}/unmarked", response_class=HTMLResponse)
def list_unmarked(request: Request, desk: TheDesk, visit_id: int) -> HTMLResponse:
    """List what confirming all entries without marks would do."""
    with desk.database.reading() as session:
        place = place_of(session, visit_id)
        lines = to_confirm_together(session, visit_id)
    return page(request, "unmarked.html", place=place, lines=lines)


@router.post("/visits/{visit_id}/confirm-unmarked")
def confirm_listed(desk: TheDesk, person: Who, visit_id: int, ticked: Ticked) -> RedirectResponse:
    """Confirm exactly the entries that were listed and ticked, as one act."""
    if not ticked:
        raise ReviewError(
            gettext("nothing is ticked"),
            remedy=gettext("Tick what is right, or go back to the queue"),
        )
    done = acts.confirm_together(
        desk.database, desk.settings, visit_id, by=person.name, expected=ticked
    )
    if done is not None:
        person.done(
            ngettext(
                "Confirmed %(num)s entry without marks together.",
                "Confirmed %(num)s entries without marks together.",
                len(done.entries),
            ),
            done,
        )
    return back_to(queue_path(visit_id))


def _versions(text: str) -> dict[int, int]:
    try:
        pairs = [pair.split(":") for pair in text.split(",") if pair]
        return {int(entry): int(version) for entry, version in pairs}
    except ValueError as error:
        raise ConflictError(
            gettext("the list of entries does not read"), remedy=gettext("List them again")
        ) from error


def _onward(entries: Sequence[WaitingEntry], at: int, then: int | None) -> int | None:
    """The entry to go to after the card's: the one asked for, the next, or the one before the last."""
    if any(one.id == then for place, one in enumerate(entries) if place != at):
        return then
    if at + 1 < len(entries):
        return entries[at + 1].id
    return entries[at - 1].id if at > 0 else None
