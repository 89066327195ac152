"""The web application: pages behind the guard, and errors as pages."""

import re
from pathlib import Path
from typing import Any

from fastapi import Depends, FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.staticfiles import StaticFiles

from dictate.errors import ConflictError, DictateError, NotFoundError, StoreError
from dictate.web.desk import Desk, page
from dictate.web.guard import Guard, checked_form
from dictate.web.pages import PAGES, enter

__all__ = ["create_app"]

_STATUS = {NotFoundError: 404, ConflictError: 409, StoreError: 503}
_TITLES = {
    400: "That did not work",
    403: "Not allowed",
    404: "Not there",
    409: "Somebody else was faster",
    413: "Too large",
    422: "Something in the form is not right",
    503: "The record cannot be reached",
}


def create_app(desk: Desk, *, hosts: tuple[str, ...] = ("127.0.0.1", "localhost")) -> FastAPI:
    """Build the application; `hosts` are the names by which browsers may call it."""
    app = FastAPI(
        title="dictate",
        docs_url=None,
        redoc_url=None,
        middleware=[
            Middleware(TrustedHostMiddleware, allowed_hosts=list(hosts), www_redirect=False),
            Middleware(Guard, gate=desk.gate),
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


async def _our_error(request: Request, error: Exception) -> HTMLResponse:
    status = next((code for kind, code in _STATUS.items() if isinstance(error, kind)), 422)
    what, remedy = (
        (error.what, error.remedy) if isinstance(error, DictateError) else (str(error), "")
    )
    return _error_page(
        request,
        status,
        what=what,
        remedy=remedy,
        where=getattr(error, "where", ""),
        back=_back(request.url.path),
    )


async def _http_error(request: Request, error: Exception) -> HTMLResponse:
    status = error.status_code if isinstance(error, HTTPException) else 500
    return _error_page(request, status, what=str(getattr(error, "detail", error)))


async def _form_error(request: Request, error: Exception) -> HTMLResponse:
    faults = error.errors() if isinstance(error, RequestValidationError) else []
    what = "; ".join(f"{fault['loc'][-1]}: {fault['msg']}" for fault in faults)
    return _error_page(request, 422, what=what)


def _back(path: str) -> str:
    """Where a change that failed can be looked at again."""
    if found := re.match(r"/entries/\d+", path):
        return found.group()
    if found := re.match(r"/visits/\d+", path):
        return f"{found.group()}/queue"
    return "/"


def _error_page(request: Request, status: int, **values: Any) -> HTMLResponse:
    title = _TITLES.get(status, "That did not work")
    return page(request, "error.html", status=status, title=title, **values)
