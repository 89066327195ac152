"""Starting the page: on this computer alone, or for the trimmer's own phone as well."""

import gc
import importlib
import threading
import time
import webbrowser
from collections.abc import Callable
from dataclasses import dataclass

import segno
import uvicorn

from dictate.hearing import open_engine
from dictate.review.offers import Offers
from dictate.settings import Settings
from dictate.store.database import Database
from dictate.voice.kept import model_in_use
from dictate.web.app import create_app
from dictate.web.desk import Desk
from dictate.web.gate import CODE_MINUTES, Gate
from dictate.web.phones import Phones
from dictate.web.sessions import Kept
from dictate.web.sockets import listen_at
from grammar import load_lexicon

_HERE = "127.0.0.1"
PLOTS = "dictate.sheets.herd_sheet"
"""The first herd picture would wait for the plots' library, a third of a second: it is loaded beside the page."""


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
    kept = Kept(settings.home / "page.json")
    gate = Gate(settings.trimmer, clock=time.time, kept=kept, offers=Offers(settings.home))
    desk = Desk(
        database=database,
        settings=settings,
        gate=gate,
        # The settings as they are then: the page may have changed them.
        open_engine=lambda roster: open_engine(model_in_use(desk.settings), roster=roster),
        phones=Phones(settings.home, gate, kept),
    )
    app = create_app(desk)
    warm_up()
    desk.listen_again()
    with listen_at(_HERE, 0 if how.lan else how.port, kept.port) as listener:
        port = listener.getsockname()[1]
        kept.keep_port(port)
        link = f"http://{_HERE}:{port}/enter?token={gate.link_token}"
        say(f"The page is open at:\n  {link}\nStop it with Ctrl-C.")
        if how.lan:
            desk.phones.open(app, port=how.port)
            _invite(desk.phones, gate, say)
        if how.browser:
            threading.Timer(0.5, webbrowser.open, (link,)).start()
        threading.Thread(target=importlib.import_module, args=(PLOTS,), daemon=True).start()
        config = uvicorn.Config(
            app, log_level="warning", access_log=False, server_header=False, proxy_headers=False
        )
        try:
            uvicorn.Server(config).run(sockets=[listener])
        finally:
            desk.phones.close()


def warm_up() -> None:
    """Load the lexicon, and keep what is loaded out of garbage collection.

    Without it the first page waits for the lexicon, and now and then one waits for a pass over its
    many objects.
    """
    load_lexicon()
    gc.collect()
    gc.freeze()


def _invite(phones: Phones, gate: Gate, say: Callable[[str], None]) -> None:
    def show(code: str) -> None:
        say(
            f"\nTo let a phone in, scan this, or open {phones.base}/pair and type {code[:4]} {code[4:]}\n"
            f"(good once, for {CODE_MINUTES} minutes)"
        )
        segno.make(f"{phones.base}/pair?code={code}", micro=False).terminal(compact=True)

    say(
        "The phone's browser will warn that it does not know this computer's certificate. "
        f"It is the right one if its SHA-256 fingerprint is\n  {phones.fingerprint}"
    )
    gate.on_new_code = show
    show(gate.new_code())
