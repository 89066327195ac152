"""The program is killed and started anew, or a tab is old: what was typed stays and the tab goes on."""

import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlmodel import Session, create_engine, select

from dictate.store.tables import Entry

from .conftest import Running, Tab, settled
from .evening import FARM, TRIMMER
from .test_evening import entry_of


class Program:
    """`dictate review` as a process of its own, which can be killed and started again."""

    def __init__(self, home: Path) -> None:
        self.home = home
        self.process: subprocess.Popen[str] | None = None

    def start(self) -> str:
        """Start it and give its link."""
        self.process = subprocess.Popen(
            [sys.executable, "-m", "dictate", "review", "--no-browser"],
            env={**os.environ, "DICTATE_HOME": str(self.home), "PYTHONUNBUFFERED": "1"},
            stdout=subprocess.PIPE,
            text=True,
        )
        assert self.process.stdout is not None
        for line in self.process.stdout:
            if found := re.search(r"http://127\.0\.0\.1:\d+/enter\?token=\S+", line):
                return found.group()
        raise AssertionError("it did not start")

    def kill(self) -> None:
        if self.process is not None:
            self.process.send_signal(signal.SIGKILL)
            self.process.wait(10)
            assert self.process.stdout is not None
            self.process.stdout.close()
            self.process = None


@pytest.fixture
def program(prepared: Path, tmp_path: Path) -> Iterator[Program]:
    home = tmp_path / "home"
    shutil.copytree(prepared, home)
    (home / "settings.toml").write_text(f'trimmer = "{TRIMMER}"\nfarm = "{FARM}"\n')
    made = Program(home)
    yield made
    made.kill()


def test_an_open_tab_goes_on_when_the_program_was_killed_and_started_anew(
    program: Program, chromium: Any
) -> None:
    """Killed while words are typed; the tab says so, keeps them, and brings them in when it is back."""
    link = program.start()
    base = link.split("/enter")[0]
    context = chromium.new_context()
    page = context.new_page()
    page.goto(link)
    page.wait_for_url(f"{base}/")
    settled(page)
    page.locator("body").press("Enter")
    page.wait_for_url("**/queue")
    settled(page)
    first = page.inner_text("#card-title")
    page.keyboard.press("t")
    page.locator("#typed").fill("cow seven oh one all good")
    settled(page)
    program.kill()
    page.locator("#typed").press("Enter")
    page.wait_for_selector("text=The program does not answer")
    assert page.locator("#typed").input_value() == "cow seven oh one all good"
    assert program.start().startswith(f"{base}/"), "it is served where open tabs look for it"
    page.wait_for_selector("text=The program is back", timeout=15_000)
    assert page.locator("#typed").input_value() == "cow seven oh one all good"
    page.locator("#typed").press("Enter")
    page.wait_for_selector("text=Cow 701")
    assert first != "Cow 701"
    settled(page)
    page.keyboard.press("Enter")
    page.wait_for_selector("text=Confirmed: 701")
    context.close()
    with Session(create_engine(f"sqlite:///{program.home / 'record.db'}")) as session:
        confirmed = session.exec(select(Entry).where(Entry.state == "confirmed")).one()
    assert (confirmed.content["animal"], confirmed.confirmed_by) == ("701", TRIMMER)


def test_a_tab_from_before_the_page_was_opened_anew_goes_on(
    running: Running, tab: Callable[..., Tab]
) -> None:
    """The session ended and another tab was let in: the old tab's form is refused once, then works."""
    at = tab(allowed="401|403|Response Status")
    entry = entry_of(running, "633")
    at.open(f"/visits/{running.visit_id}/queue?entry={entry.id}")
    at.settle()
    at.page.context.clear_cookies()
    at.page.keyboard.press("Enter")
    at.page.wait_for_selector("text=not let in any more")
    other = at.page.context.new_page()
    other.goto(running.link)
    other.wait_for_url(f"{running.url}/")
    at.page.wait_for_selector("text=The program is back", timeout=8000)
    at.page.keyboard.press("1")
    at.page.wait_for_selector("text=locomotion 3 (scale 1-5)")
