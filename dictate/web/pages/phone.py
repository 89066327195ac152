"""Letting the trimmer's phone in: open the way, show the code, close it again."""

from typing import Annotated

import fastapi
from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from dictate.errors import DictateError
from dictate.texts import gettext
from dictate.web.desk import Form, TheDesk, back_to, page
from dictate.web.gate import CODE_MINUTES
from dictate.web.guard import OnThisComputer, Who

router = APIRouter()
_HERE = "/settings/phone"


@router.get(_HERE, response_class=HTMLResponse)
def phone(request: Request, desk: TheDesk, person: Who) -> HTMLResponse:
    """Whether a phone is let in, and how it comes in."""
    phones = None if person.paired else desk.phones
    return page(request, "phone.html", phones=phones, minutes=CODE_MINUTES)


@router.post(f"{_HERE}/open")
def open_way(
    request: Request, desk: TheDesk, _person: OnThisComputer, _form: Annotated[Form, fastapi.Form()]
) -> Response:
    """Serve the page to the local network too."""
    try:
        desk.phones.open(request.app)
    except DictateError as error:
        return page(
            request, "phone.html", status=422, phones=desk.phones, minutes=CODE_MINUTES, fault=error
        )
    return back_to(_HERE)


@router.post(f"{_HERE}/close")
def close_way(
    desk: TheDesk, person: OnThisComputer, _form: Annotated[Form, fastapi.Form()]
) -> Response:
    """Serve this computer alone again."""
    desk.phones.close()
    person.notice = gettext("No phone is let in any more.")
    return back_to(_HERE)
