"""Being let in: by the link in the terminal, or, on a phone, by the pairing code."""

from typing import Annotated

import fastapi
from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from pydantic import Field

from dictate.texts import gettext
from dictate.web.desk import Form, TheDesk, back_to, page
from dictate.web.gate import TooManyTriesError
from dictate.web.guard import COOKIE, Who, checked_form

router = APIRouter()
_HERE = ("127.0.0.1", "::1", "testclient")


class PairForm(Form):
    code: str = Field(max_length=40)
    name: str = Field(default="", max_length=80)


@router.get("/enter")
def enter(request: Request, desk: TheDesk, token: str = "") -> Response:
    """Let the browser in that was opened by the terminal's link."""
    here = request.client is not None and request.client.host in _HERE
    cookie = desk.gate.enter(token) if here else None
    if cookie and request.state.person is not None:
        # Already in: a new session would make the forms of this browser's other tabs too old.
        return page(request, "entered.html")
    if cookie is None:
        return page(
            request,
            "error.html",
            status=403,
            title=gettext("This link does not hold"),
            what=gettext("The link belongs to another run of the program, or to another computer"),
            remedy=gettext(
                "Open the page from its icon, or from the link that its window shows now"
            ),
        )
    # A page and not a redirect: a strict cookie is not sent along a redirect that began elsewhere.
    return _with_cookie(request, page(request, "entered.html"), cookie)


@router.get("/pair", response_class=HTMLResponse)
def ask_for_code(request: Request, code: str = "") -> HTMLResponse:
    """The form for the pairing code; the QR code fills it in."""
    return page(request, "pair.html", code=code[:40], fault="")


@router.post("/pair")
def pair(request: Request, desk: TheDesk, form: Annotated[PairForm, fastapi.Form()]) -> Response:
    """Let a phone in that brings the pairing code."""
    address = request.client.host if request.client else ""
    try:
        cookie = desk.gate.pair(form.code, form.name, address)
    except TooManyTriesError:
        fault = gettext(
            "Too many wrong codes. Wait ten minutes, then use the code that the computer shows."
        )
        return page(request, "pair.html", status=429, code="", fault=fault)
    if cookie is None:
        fault = gettext("That code does not hold: it was used, is too old, or has a mistake in it.")
        return page(request, "pair.html", status=403, code="", fault=fault)
    return _with_cookie(request, page(request, "entered.html"), cookie)


@router.get("/session")
def session(person: Who) -> dict[str, str]:
    """The token for this browser's forms, for a tab that was open while the program was away."""
    return {"csrf": person.csrf}


@router.post("/leave", dependencies=[fastapi.Depends(checked_form)])
def leave(request: Request, desk: TheDesk, person: Who) -> Response:
    """End this browser's session."""
    desk.gate.leave(request.cookies.get(COOKIE))
    answer = back_to("/pair" if person.paired else "/")
    answer.delete_cookie(COOKIE)
    return answer


def _with_cookie(request: Request, answer: Response, cookie: str) -> Response:
    answer.set_cookie(
        COOKIE,
        cookie,
        httponly=True,
        samesite="strict",
        secure=request.url.scheme == "https",
        path="/",
    )
    return answer
