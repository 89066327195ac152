"""The trimmer's own settings: name, farm, paper, prices and intervals; none has a clinical default."""

import re
from collections.abc import Mapping
from typing import Annotated, Any

import fastapi
from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from dictate.errors import NotFoundError, SettingsError
from dictate.review.written_changes import terms_of
from dictate.store.farms import name_the_unnamed
from dictate.texts import choose, gettext, language_name, languages
from dictate.web.computer import make_icon
from dictate.web.desk import Desk, Form, TheDesk, back_to, page
from dictate.web.guard import Who
from dictate.web.settings_file import keep_settings

router = APIRouter()
_PLAIN = ("trimmer", "contact", "farm", "language", "paper", "currency")


async def _given(request: Request) -> dict[str, str]:
    return {name: str(value).strip()[:200] for name, value in (await request.form()).items()}


@router.get("/settings", response_class=HTMLResponse)
def settings_page(request: Request, desk: TheDesk, _person: Who) -> HTMLResponse:
    """The form with what is set."""
    return _page(request, desk)


@router.post("/settings")
def keep(
    request: Request, desk: TheDesk, person: Who, given: Annotated[dict[str, str], Depends(_given)]
) -> Response:
    """Keep what is in the form."""
    try:
        desk.settings = keep_settings(desk.settings, _changes(given))
    except SettingsError as error:
        return _page(request, desk, fault=_on_the_form(error.what), given=given)
    with desk.database.writing() as session:
        name_the_unnamed(session, desk.settings.trimmer)
    choose(desk.settings.language)
    person.notice = gettext("Kept.")
    return back_to("/settings")


@router.post("/settings/icon")
def put_icon(person: Who, _form: Annotated[Form, fastapi.Form()]) -> RedirectResponse:
    """Put an icon that opens the page on the desktop of this computer."""
    if person.paired:
        raise NotFoundError(
            gettext("a phone has no desktop"), remedy=gettext("Open the page on the computer")
        )
    path = make_icon()
    person.notice = gettext("The icon is there: %(path)s", path=path)
    return back_to("/settings")


def _changes(given: Mapping[str, str]) -> dict[str, Any]:
    changes: dict[str, Any] = {name: given[name] for name in _PLAIN if name in given}
    prices = {kind: given.get(f"price.{kind}", "").replace(",", ".") for kind in _kinds("ACTION")}
    days = {kind: given.get(f"days.{kind}", "") for kind in _kinds("FOLLOWUP")}
    changes["prices"] = {kind: price for kind, price in prices.items() if price}
    if any(name.startswith("charge.") for name in given):
        charge = {kind: given.get(f"charge.{kind}", "each") for kind in changes["prices"]}
        changes["charge_by"] = {kind: way for kind, way in charge.items() if way != "each"}
    changes["intervals"] = {
        kind: int(number) if number.isdecimal() else number
        for kind, number in days.items()
        if number
    }
    return changes


def _on_the_form(fault: str) -> str:
    """A fault of the file, with its places named as the form names them: `block: is not a number`."""
    return re.sub(r"(?:^|(?<=; ))(?:prices|charge_by|intervals) ", "", fault)


def _page(
    request: Request, desk: Desk, *, fault: str = "", given: Mapping[str, str] | None = None
) -> HTMLResponse:
    return page(
        request,
        "settings.html",
        status=422 if fault else 200,
        settings=desk.settings,
        actions=_kinds("ACTION"),
        dues=_kinds("FOLLOWUP"),
        languages={code: language_name(code) for code in languages()},
        fault=fault,
        given=given or {},
    )


def _kinds(tag: str) -> list[str]:
    return list(dict.fromkeys(terms_of(tag).values()))
