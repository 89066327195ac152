"""Sockets for the page to be served at."""

import socket

from dictate.errors import DictateError
from dictate.texts import gettext


def listen_at(host: str, asked: int, before: int) -> socket.socket:
    """At the port asked for, else at the one of the last time, where open tabs look for the page.

    Raises:
        DictateError: the port asked for cannot be used.
    """
    if not asked and before:
        try:
            return listen(host, before)
        except DictateError:
            pass  # taken by something else: any free one then
    return listen(host, asked)


def listen(host: str, port: int) -> socket.socket:
    """A socket for the server, listening at a port.

    Raises:
        DictateError: the port cannot be used.
    """
    # Named as TCP, so that asyncio turns Nagle's delay off: without it each page waits 40 ms more.
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((host, port))
        listener.listen()  # so that a browser may come before the server is quite ready
    except OSError as error:
        listener.close()
        raise DictateError(
            gettext(
                "port %(port)s cannot be used: %(strerror)s", port=port, strerror=error.strerror
            ),
            where="dictate review",
            remedy=gettext("Leave --port out, or choose another"),
        ) from error
    return listener
