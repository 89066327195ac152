"""The trimmer's phone let in: the page served to the local network over HTTPS, while that is wanted."""

import datetime as dt
import ipaddress
import socket
import threading
import time
from pathlib import Path
from typing import Any

import segno
import uvicorn
from markupsafe import Markup

from dictate.errors import DictateError
from dictate.texts import gettext
from dictate.web.certificate import certificate_for
from dictate.web.gate import Gate
from dictate.web.sessions import Kept
from dictate.web.sockets import listen_at

_STARTS_S = 10.0
_HERE = "127.0.0.1"


class Phones:
    """Opens and closes the way in for phones; they come in with the gate's code."""

    def __init__(self, home: Path, gate: Gate, kept: Kept | None = None) -> None:
        self._home, self._gate, self._kept = home, gate, kept
        self._server: uvicorn.Server | None = None
        self._thread: threading.Thread | None = None
        self.address = ""
        """Of this computer in the local network; empty while no phone is let in."""
        self.base = ""
        """Where a phone finds the page."""
        self.fingerprint = ""
        """SHA-256 of the certificate, to be compared with what the phone shows."""

    @property
    def is_open(self) -> bool:
        return self._server is not None

    @property
    def code(self) -> str:
        """The pairing code that holds now."""
        return self._gate.code

    @property
    def picture(self) -> Markup:
        """The way in as a QR code, to be scanned from the screen."""
        drawn = segno.make(self.link, micro=False).svg_inline(scale=6, light="#fff", border=4)
        return Markup(drawn)  # noqa: S704 - drawn by segno from our own address

    @property
    def link(self) -> str:
        return f"{self.base}/pair?code={self.code}"

    def open(self, app: Any, *, port: int = 0) -> None:
        """Serve the app to the local network too, at the port of the last time unless one is given.

        A phone keeps its clips by address: at another port it would not find them again.

        Raises:
            DictateError: there is no local network, or the port is taken.
        """
        if self.is_open:
            return
        address = lan_address()
        made = certificate_for(address, self._home / "certificate", now=dt.datetime.now(dt.UTC))
        before = self._kept.phone_port if self._kept else 0
        listener = listen_at(address, port, before)
        port = listener.getsockname()[1]
        if self._kept:
            self._kept.keep_phone_port(port)
        config = uvicorn.Config(
            app,
            log_level="warning",
            access_log=False,
            server_header=False,
            proxy_headers=False,
            lifespan="off",
            timeout_graceful_shutdown=1,
            ssl_certfile=str(made.certificate),
            ssl_keyfile=str(made.key),
        )
        self._server = uvicorn.Server(config)
        self._thread = threading.Thread(
            target=self._server.run, args=([listener],), daemon=True, name="phones"
        )
        self._thread.start()
        ends = time.monotonic() + _STARTS_S
        while not self._server.started and time.monotonic() < ends:
            time.sleep(0.02)
        self.address, self.base = address, f"https://{address}:{port}"
        self.fingerprint = made.fingerprint

    def close(self) -> None:
        """Serve this computer alone again; what phones have not sent stays in them."""
        if self._server is None or self._thread is None:
            return
        self._server.should_exit = True
        self._thread.join(_STARTS_S)
        self._server = self._thread = None
        self.address = self.base = self.fingerprint = ""


def lan_address() -> str:
    """This computer's own address in the local network.

    Raises:
        DictateError: there is none, or it is a public address.

    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # sends nothing; only asks which way it would go
            found = str(probe.getsockname()[0])
        except OSError:
            found = _HERE
    if not ipaddress.ip_address(found).is_private or found == _HERE:
        raise DictateError(
            gettext("no local network was found (own address: %(found)s)", found=found),
            where="dictate review --lan",
            remedy=gettext(
                "Join the phone's hotspot, or go on with the page on this computer alone"
            ),
        )
    return found
