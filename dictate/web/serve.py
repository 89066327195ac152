"""Starting the page: on this computer alone, or for the trimmer's own phone as well."""

import datetime as dt
import gc
import ipaddress
import socket
import threading
import time
import webbrowser
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import segno
import uvicorn

from dictate.errors import DictateError
from dictate.hearing import Engine, open_engine
from dictate.settings import Settings
from dictate.store.database import Database
from dictate.voice.kept import model_in_use
from dictate.web.app import create_app
from dictate.web.certificate import certificate_for
from dictate.web.desk import Desk
from dictate.web.gate import CODE_MINUTES, Gate
from dictate.web.listening_again import ListeningAgain
from dictate.web.sessions import Kept
from grammar import load_lexicon

__all__ = ["How", "lan_address", "listen", "serve", "warm_up"]

_HERE = "127.0.0.1"


@dataclass(frozen=True, slots=True, kw_only=True)
class How:
    """How to serve."""

    port: int = 0
    """0: any free one."""
    lan: bool = False
    """Serve the local network too, over HTTPS, for browsers that bring the pairing code."""
    browser: bool = True
    """Open the page in the browser of this computer."""


def serve(database: Database, settings: Settings, how: How, *, say: Callable[[str], None]) -> None:
    """Serve the page until interrupted; `say` gets the lines for the terminal.

    Raises:
        DictateError: the port is taken, or there is no local network.

    """
    address = lan_address() if how.lan else _HERE
    kept = Kept(settings.home / "page.json")
    gate = Gate(settings.trimmer, clock=time.time, kept=kept)
    desk = Desk(
        database=database,
        settings=settings,
        gate=gate,
        open_engine=lambda roster: open_engine(model_in_use(settings), roster=roster),
    )
    app = create_app(desk, hosts=tuple(dict.fromkeys((_HERE, "localhost", address))))
    options: dict[str, Any] = {}
    if how.lan:
        made = certificate_for(address, settings.home / "certificate", now=dt.datetime.now(dt.UTC))
        options = {"ssl_certfile": str(made.certificate), "ssl_keyfile": str(made.key)}
    warm_up()
    if settings.second_listener:
        _listen_again(desk, settings.second_listener)
    with _listener("0.0.0.0" if how.lan else _HERE, how.port, kept.port) as listener:  # noqa: S104 (asked for with --lan)
        port = listener.getsockname()[1]
        kept.keep_port(port)
        scheme = "https" if how.lan else "http"
        link = f"{scheme}://{_HERE}:{port}/enter?token={gate.link_token}"
        say(f"The page is open at:\n  {link}\nStop it with Ctrl-C.")
        if how.lan:
            _invite(gate, f"{scheme}://{address}:{port}", made.fingerprint, say)
        if how.browser:
            threading.Timer(0.5, webbrowser.open, (link,)).start()
        config = uvicorn.Config(
            app,
            log_level="warning",
            access_log=False,
            server_header=False,
            proxy_headers=False,
            **options,
        )
        uvicorn.Server(config).run(sockets=[listener])


def _listener(host: str, asked: int, before: int) -> socket.socket:
    """At the port asked for, else at the one of the last time, where open tabs look for the page."""
    if not asked and before:
        try:
            return listen(host, before)
        except DictateError:
            pass  # taken by something else: any free one then
    return listen(host, asked)


def _listen_again(desk: Desk, model: Path) -> None:
    def opened() -> Engine:
        from dictate.hearing.second_listener import SecondListener  # noqa: PLC0415 (an extra)

        return SecondListener(model, threads=1)

    ListeningAgain(desk.database, desk.settings, opened, desk.looked_at).start()


def warm_up() -> None:
    """Load the lexicon, and keep what is loaded out of garbage collection.

    Without it the first page waits for the lexicon, and now and then one waits for a pass over its
    many objects.
    """
    load_lexicon()
    gc.collect()
    gc.freeze()


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
            f"no local network was found (own address: {found})",
            where="dictate review --lan",
            remedy="Join the phone's hotspot, or leave --lan out to use the page on this computer alone",
        )
    return found


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
            f"port {port} cannot be used: {error.strerror}",
            where="dictate review",
            remedy="Leave --port out, or choose another",
        ) from error
    return listener


def _invite(gate: Gate, base: str, fingerprint: str, say: Callable[[str], None]) -> None:
    def show(code: str) -> None:
        link = f"{base}/pair?code={code}"
        picture = segno.make(link, micro=False).terminal
        say(
            f"\nTo let a phone in, scan this, or open {base}/pair and type {code[:4]} {code[4:]}\n"
            f"(good once, for {CODE_MINUTES} minutes)"
        )
        picture(compact=True)

    say(
        "The phone's browser will warn that it does not know this computer's certificate. "
        f"It is the right one if its SHA-256 fingerprint is\n  {fingerprint}"
    )
    gate.on_new_code = show
    show(gate.new_code())
