"""The web application: pages behind the guard, and errors as pages."""

import re
from pathlib import Path
from typing import Any

from fastapi import Depends, FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.staticfiles import StaticFiles

from dictate.errors import ConflictError, DictateError, NotFoundError, StoreError, plain_faults
from dictate.review import acts
from dictate.store.clips import entry_by_id
from dictate.store.states import EntryState
from dictate.texts import choose, gettext, noted
from dictate.texts.below import told
from dictate.web.desk import Desk, page
from dictate.web.filters import of_page
from dictate.web.guard import Guard, checked_form
from dictate.web.pages import PAGES, enter
from dictate.web.showing import queue_path

_STATUS = {NotFoundError: 404, ConflictError: 409, StoreError: 503}
_TITLES = {
    400: noted("That did not work"),
    403: noted("Not allowed"),
    404: noted("Not there"),
    409: noted("Somebody else was faster"),
    413: noted("Too large"),
    422: noted("Something in the form is not right"),
    503: noted("The record cannot be reached"),
}


def create_app(desk: Desk) -> FastAPI:
    """Build the application; it answers to this computer's own names, and to phones once let in."""
    choose(desk.settings.language)
    app = FastAPI(
        title="dictate",
        docs_url=None,
        redoc_url=None,
        middleware=[
            Middleware(Guard, gate=desk.gate, phones=desk.phones),
        ],
        exception_handlers={
            DictateError: _our_error,
            HTTPException: _http_error,
            RequestValidationError: _form_error,
        },
    )
    app.state.desk = desk
    app.mount("/static", StaticFiles(directory=Path(__file__).parent / "static"), name="static")
    app.include_router(enter.router)
    for module in PAGES:
        app.include_router(module.router, dependencies=[Depends(checked_form)])
    return app


async def _our_error(request: Request, error: Exception) -> Response:
    person = request.state.person
    on_card = request.method == "POST" and request.url.path.startswith("/entries/")
    if person and on_card and isinstance(error, ConflictError | acts.NeedsSureError):
        # The card as it is now says more than a page of its own; what to do is decided there.
        stands = gettext("This is how it stands now.")
        person.notice, person.undo_path = f"{of_page(error.line)} {stands}", ""
        return RedirectResponse(_card(request), status_code=303)
    status = next((code for kind, code in _STATUS.items() if isinstance(error, kind)), 422)
    what, remedy = (
        (error.what, of_page(error.remedy)) if isinstance(error, DictateError) else (str(error), "")
    )
    return _error_page(
        request,
        status,
        what=what,
        remedy=remedy,
        where=getattr(error, "where", ""),
        back=_back(request.url.path) if request.method == "POST" else "/",
    )


async def _http_error(request: Request, error: Exception) -> HTMLResponse:
    status = error.status_code if isinstance(error, HTTPException) else 500
    said = str(getattr(error, "detail", error))
    what = gettext("This page is not there") if said == "Not Found" else told(said)
    return _error_page(request, status, what=what)


async def _form_error(request: Request, error: Exception) -> HTMLResponse:
    faults = error.errors() if isinstance(error, RequestValidationError) else []
    what = plain_faults(faults)
    return _error_page(request, 422, what=what)


def _card(request: Request) -> str:
    """Where the entry that a change was about is seen as it stands now."""
    found = re.match(r"/entries/(\d+)/", request.url.path)
    if not found:
        return _back(request.url.path)
    entry_id = int(found.group(1))
    with request.app.state.desk.database.reading() as session:
        entry = entry_by_id(session, entry_id)
        waits, visit_id = entry.state == EntryState.WAITING, entry.visit_id
    return queue_path(visit_id, entry_id) if waits else f"/entries/{entry_id}"


def _back(path: str) -> str:
    """Where a change that failed can be looked at again."""
    if found := re.match(r"/entries/\d+", path):
        return found.group()
    if found := re.match(r"/visits/\d+", path):
        return f"{found.group()}/queue"
    return "/"


def _error_page(request: Request, status: int, **values: Any) -> HTMLResponse:
    title = gettext(_TITLES.get(status, _TITLES[400]))
    return page(request, "error.html", status=status, title=title, **values)
