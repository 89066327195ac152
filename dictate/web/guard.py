"""What stands before every page: known host, known person, sizes, own origin, and safe headers."""

import secrets
from typing import Annotated
from urllib.parse import urlsplit

from fastapi import Depends, HTTPException, Request
from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from dictate.texts import gettext
from dictate.web.gate import Gate, Person
from dictate.web.phones import Phones

COOKIE = "dictate_session"
_OPEN = ("/static/", "/enter", "/pair")
"""Paths that need no session."""
_NAMES = frozenset({"127.0.0.1", "localhost"})
"""By which browsers of this computer call it."""
_FORM_BYTES = 256 * 1024
_UPLOAD_BYTES = {
    "/roster": 48 * 2**20,
    "/past": 48 * 2**20,
    "/record/clips": 2**30,
    "/speak": 16 * 2**20,
    "/readings": 16 * 2**20,
}
"""Largest body by the end of the path; every other form is small."""
_HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
        "media-src 'self' blob:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; "
        "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    # Not "no-referrer": a browser would then send plain forms with the origin "null".
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(self)",
}


class Guard:
    """ASGI middleware; a request that gets through has `state.person` set."""

    def __init__(self, app: ASGIApp, *, gate: Gate, phones: Phones) -> None:
        self._app = app
        self._gate = gate
        self._phones = phones

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            raise RuntimeError(f"no {scope['type']} connections are served")
        request = Request(scope, receive)
        person = self._gate.person(request.cookies.get(COOKIE))
        scope.setdefault("state", {})["person"] = person
        refusal = self._unknown_host(request) or _refusal(request, person)
        answer = _with_headers(send, fresh=not scope["path"].startswith("/static/"))
        if refusal is not None:
            await refusal(scope, receive, answer)
            return
        await self._app(scope, _limited(receive, _largest(scope["path"])), answer)

    def _unknown_host(self, request: Request) -> PlainTextResponse | None:
        """A website that points its own name at this computer is not answered."""
        called = request.headers.get("host", "").split(":")[0]
        if called in _NAMES or (called and called == self._phones.address):
            return None
        return PlainTextResponse("Invalid host header", 400)


def person_of(request: Request) -> Person:
    """Who sent this request.

    Raises:
        HTTPException: nobody known did.

    """
    person: Person | None = request.state.person
    if person is None:
        raise HTTPException(401, gettext("This page is open only to browsers that were let in."))
    return person


Who = Annotated[Person, Depends(person_of)]


def _at_the_computer(person: Who) -> Person:
    if person.paired:
        raise HTTPException(403, gettext("This is done on the computer itself, not on a phone."))
    return person


OnThisComputer = Annotated[Person, Depends(_at_the_computer)]
"""For what names folders of this computer or changes the whole record."""


async def checked_form(request: Request) -> None:
    """Let a change through only with its session's own token, from the form or a header."""
    if request.method != "POST":
        return
    person = person_of(request)
    given = request.headers.get("X-CSRF-Token") or (await request.form()).get("csrf")
    if not isinstance(given, str) or not secrets.compare_digest(
        given.encode(), person.csrf.encode()
    ):
        raise HTTPException(
            403, gettext("This form is too old or came from elsewhere. Open the page again.")
        )


def _refusal(request: Request, person: Person | None) -> PlainTextResponse | None:
    if request.method not in ("GET", "HEAD", "POST"):
        return PlainTextResponse(gettext("Method not allowed"), 405)
    path = request.url.path
    if person is None and not path.startswith(_OPEN):
        return PlainTextResponse(
            gettext(
                "This browser was not let in. Open the page from its icon, or from the link in its window. "
                "On a phone, open the address with /pair at its end and type the code shown there."
            ),
            401,
        )
    if request.method == "POST" and not _own_origin(request.headers, request.url.scheme):
        return PlainTextResponse(gettext("Changes are taken from this page only."), 403)
    length = request.headers.get("content-length", "0")
    if not length.isdecimal() or int(length) > _largest(path):
        return PlainTextResponse(gettext("Too large."), 413)
    return None


def _own_origin(headers: Headers, scheme: str) -> bool:
    site = headers.get("sec-fetch-site")
    if site not in (None, "same-origin"):
        return False
    origin = headers.get("origin")
    if origin is None:
        return True
    there = urlsplit(origin)
    return (there.scheme, there.netloc) == (scheme, headers.get("host", ""))


def _largest(path: str) -> int:
    return next((size for end, size in _UPLOAD_BYTES.items() if path.endswith(end)), _FORM_BYTES)


def _limited(receive: Receive, largest: int) -> Receive:
    """Count the bytes that really come, whatever the header promised."""
    came = 0

    async def counted() -> Message:
        nonlocal came
        message = await receive()
        came += len(message.get("body", b""))
        if came > largest:
            raise HTTPException(413, gettext("Too large."))
        return message

    return counted


def _with_headers(send: Send, *, fresh: bool) -> Send:
    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _HEADERS.items():
                headers.setdefault(name, value)
            headers.setdefault("Cache-Control", "no-store" if fresh else "no-cache")
        await send(message)

    return sent
