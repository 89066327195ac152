"""A running page over the invented evening, and a real browser; skipped where there is none."""

import os
import shutil
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from sqlmodel import select

from dictate.settings import Settings
from dictate.store.database import Database, open_database
from dictate.store.tables import Visit
from dictate.web.app import create_app
from dictate.web.desk import Desk
from dictate.web.gate import Gate

from .evening import DAY, FARM, TRIMMER, forty_notes, put_evening, tone

CHROMIUM = shutil.which("chromium") or "/usr/bin/chromium"
OPTIONS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
"""Without a sandbox because continuous integration runs as root; the page is our own."""
ARTEFACTS = os.environ.get("DICTATE_ARTEFACTS", "")
"""Where screenshots are wanted: then each page is also shot in light, in the dark and at 360 px."""
FAKE_MICROPHONE = ["--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream"]


def settled(page: Any) -> None:
    """Wait until keys count: before its scripts are there, and while a change is on its way, none does."""
    page.wait_for_load_state("load")
    page.locator("body:not([data-busy])").wait_for()


@dataclass
class Running:
    """The page being served."""

    url: str
    link: str
    database: Database
    settings: Settings
    visit_id: int
    gate: Gate


@dataclass
class Tab:
    """One browser tab that counts what a person does and keeps what went wrong."""

    page: Any
    url: str
    shots: Path
    keys: int = 0
    last_enter: float = 0.0
    errors: list[str] = field(default_factory=list)

    def open(self, path: str) -> None:
        self.page.goto(self.url + path)

    def follow(self, name: str) -> None:
        """Click a link and wait for the page it leads to, its scripts too: a form sent before them goes another way."""
        with self.page.expect_navigation():
            self.page.get_by_role("link", name=name).click()

    def press(self, key: str) -> None:
        """Press one key as a person would, once the page is ready for it and the card was read."""
        self.settle()
        if key in {"Enter", "y"}:
            self.page.wait_for_timeout(max(0.0, 450 - 1000 * (time.monotonic() - self.last_enter)))
        self.page.keyboard.press(key)
        self.keys += 1
        self.settle()
        if key in {"Enter", "y"}:
            self.last_enter = time.monotonic()

    def look_at(self, file: Path) -> None:
        """Give a list to the form of the page that stands here, and have it looked at."""
        self.page.get_by_label("File").set_input_files(file)
        self.page.get_by_role("button", name="Look at it").click()

    def type(self, text: str) -> None:
        for letter in text:
            self.page.keyboard.press("Space" if letter == " " else letter)
            self.keys += 1

    def settle(self) -> None:
        settled(self.page)

    def choices(self) -> list[str]:
        return [
            text.split("\n")[-1].strip()
            for text in self.page.locator(".choices button").all_inner_texts()
        ]

    @property
    def title(self) -> str:
        return str(self.page.inner_text("#card-title"))

    def counted(self) -> int:
        """Keys and clicks as the page itself counted them."""
        return int(self.page.evaluate("Number(sessionStorage.getItem('counted-events') || 0)"))

    def shoot(self, name: str) -> None:
        self.page.screenshot(path=self.shots / f"{name}.png", full_page=True)


@pytest.fixture(scope="session")
def shots(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where screenshots go: `$DICTATE_ARTEFACTS`, else pytest's own folder."""
    folder = Path(ARTEFACTS) if ARTEFACTS else tmp_path_factory.mktemp("shots")
    folder.mkdir(parents=True, exist_ok=True)
    return folder


@pytest.fixture(scope="session")
def prepared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home folder with the evening in it, made once and copied for each test."""
    home = tmp_path_factory.mktemp("evening") / "home"
    settings = Settings(home=home, trimmer=TRIMMER, farm=FARM)
    with open_database(settings.database_url) as database:
        put_evening(database, settings, forty_notes())
    return home


@pytest.fixture(scope="session")
def chromium(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    if not Path(CHROMIUM).exists():
        pytest.skip("Chromium is not installed (Debian: apt-get install chromium)")
    with playwright.sync_playwright() as started:
        said = tmp_path_factory.mktemp("microphone") / "said.wav"
        said.write_bytes(tone(1.0, pitch=300, silence=4.0))
        speaks = f"--use-file-for-fake-audio-capture={said}"
        browser = started.chromium.launch(
            executable_path=CHROMIUM, args=[*OPTIONS, *FAKE_MICROPHONE, speaks]
        )
        yield browser
        browser.close()


@pytest.fixture
def running(prepared: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Running]:
    """The forty notes of the evening, waiting, and the page on a free port."""
    home = tmp_path / "home"
    shutil.copytree(prepared, home)
    (home / "settings.toml").write_text(f'trimmer = "{TRIMMER}"\nfarm = "{FARM}"\n')
    monkeypatch.setenv("DICTATE_HOME", str(home))
    settings = Settings(home=home, trimmer=TRIMMER, farm=FARM)
    gate = Gate(TRIMMER, clock=time.monotonic)
    with open_database(settings.database_url) as database:
        with database.reading() as session:
            visit_id = session.exec(select(Visit.id)).one() or 0
        desk = Desk(
            database=database,
            settings=settings,
            gate=gate,
            open_engine=_no_engine,
            today=lambda: DAY,
        )
        with _served(desk) as url:
            link = f"{url}/enter?token={gate.link_token}"
            yield Running(url, link, database, settings, visit_id, gate)


@pytest.fixture
def tab(chromium: Any, running: Running, shots: Path) -> Iterator[Callable[..., Tab]]:
    """Open tabs; at the end none of them may have logged an error."""
    opened: list[Tab] = []
    contexts = []

    def make(*, allowed: str = "", **options: Any) -> Tab:
        context = chromium.new_context(**{"viewport": {"width": 1200, "height": 900}, **options})
        contexts.append(context)
        context.add_init_script(_COUNT_EVENTS)
        page = context.new_page()
        made = Tab(page, running.url, shots)
        page.on(
            "console",
            lambda line: (
                line.type == "error"
                and not (allowed and any(one in line.text for one in allowed.split("|")))
                and made.errors.append(line.text)
            ),
        )
        page.on("pageerror", lambda error: made.errors.append(str(error)))
        page.on("request", lambda asked: _only_here(made, asked.url))
        page.goto(running.link)
        page.wait_for_url(f"{running.url}/")
        opened.append(made)
        return made

    yield make
    for context in contexts:
        context.close()
    assert [error for one in opened for error in one.errors] == []


_COUNT_EVENTS = """
for (const kind of ["keydown", "pointerdown"])
  addEventListener(kind, () => sessionStorage.setItem("counted-events",
    Number(sessionStorage.getItem("counted-events") || 0) + 1), true);
"""


def _only_here(tab: Tab, url: str) -> None:
    if not url.startswith((tab.url, "blob:", "data:")):
        tab.errors.append(f"asked for {url}")


def _no_engine(_roster: object) -> Any:
    raise AssertionError("nothing is to be heard here")


@contextmanager
def _served(desk: Desk) -> Iterator[str]:
    server = uvicorn.Server(
        uvicorn.Config(create_app(desk), port=0, log_level="warning", timeout_graceful_shutdown=1)
    )
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    port = server.servers[0].sockets[0].getsockname()[1]
    yield f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join(timeout=5)
