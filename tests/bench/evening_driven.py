"""The demo day's evening in a real browser, from outside: `python tests/bench/evening_driven.py`.

Takes the day in by the program's own commands, starts `dictate review` as a program of its own, and goes
through the queue with key presses in Chromium (Playwright). Which keys is planned as in `review_keys.py`: by a person who knows what was said and takes the shortest way that the
card offers. Every press is a real one on what the page shows, and counted by the page itself; at the end
the record is read from the file and compared with what was said. Exits with 1 if a key too many was
needed (1.0 an entry, from the first page to the last) or one entry of the record is wrong.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page, sync_playwright
from review_keys import Evening, Way, said_in
from sqlmodel import col, func, select

from dictate.demo.script import Script, demo_folder, read_script
from dictate.review.waiting import waiting
from dictate.settings import Settings
from dictate.store.database import open_database
from dictate.store.tables import Entry

CHROMIUM = shutil.which("chromium") or "/usr/bin/chromium"
KEYS_AN_ENTRY_MAX = 1.0
READ_MS = 500
"""A person reads a card; the page takes no Enter before that."""
SCREEN = {"width": 1366, "height": 768}
COUNT = """
for (const kind of ["keydown", "pointerdown"])
  addEventListener(kind, () => sessionStorage.setItem("counted-events",
    Number(sessionStorage.getItem("counted-events") || 0) + 1), true);
"""


class Driver:
    """Presses what a person would, one key at a time."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def settle(self) -> None:
        self.page.wait_for_load_state("load")
        self.page.locator("body:not([data-busy])").wait_for()

    def do(self, key: str) -> None:
        """Press a key, when the page is ready and was read."""
        self.settle()
        if key in {"Enter", "y"}:
            self.page.wait_for_timeout(READ_MS)
        button = self.named(key)
        if button is not None:
            key = button.get_attribute("data-key") or ""
        self.page.keyboard.press("Space" if key == " " else key)
        self.settle()

    def named(self, key: str) -> Locator | None:
        """The button that a step names by its words or its value."""
        if key.startswith("="):
            words = re.compile(rf"(^|\s){re.escape(key[1:])}$", re.IGNORECASE)
            return self.page.get_by_role("button").filter(has_text=words).first
        if key.startswith("@"):
            path, _, value = key[1:].partition(":")
            form = self.page.locator(f'.ask[open] form:has(input[name="path"][value="{path}"])')
            return form.locator(f'button[value="{value}"]')
        return None

    def words(self, token: str) -> None:
        """Letters, and the digit of what is then offered."""
        letters, _, last = token.rpartition(" ")
        for letter in letters:
            self.page.keyboard.press("Space" if letter == " " else letter)
        if letters:
            self.page.locator("#offered-title", has_text=letters).wait_for()
        self.page.keyboard.press(ARROWS.get(last, last))
        self.settle()

    @property
    def entry_id(self) -> int:
        form = self.page.locator('.decide form[action$="/reject"]').first
        return int((form.get_attribute("action") or "").split("/")[2])

    @property
    def counted(self) -> int:
        return int(self.page.evaluate("Number(sessionStorage.getItem('counted-events') || 0)"))


ARROWS = {"Left": "ArrowLeft", "Right": "ArrowRight"}


def press(driver: Driver, way: Way) -> None:
    """Do one way."""
    in_words = False
    for token in way.press:
        if in_words:
            driver.page.wait_for_timeout(READ_MS if token == "Enter" else 0)
            driver.words(token)
        else:
            driver.do(token)
        in_words = in_words or token == "w"


def drive(driver: Driver, evening: Evening) -> None:
    """From the first page to the last entry."""
    driver.settle()
    driver.do("Enter")
    driver.page.wait_for_url("**/queue*")
    while True:
        driver.settle()
        if not driver.page.locator(".decide").count():
            break
        with evening.database.reading() as session:
            shown = driver.entry_id
            one = next(one for one in waiting(session, evening.visit_id) if one.id == shown)
            if not one.values.marks and one.values.animal:
                break
            wanted = evening._wanted(session, one)
            ways = [way for way in evening._ways(session, one, wanted) if way.press]
        best = min(ways, key=lambda way: way.keys)
        if driver.page.locator('.decide [data-key="y"]').count() and best.press == ("Enter",):
            best = replace(best, press=("y",), how="an animal that the roster lacks")
        before = driver.counted
        press(driver, best)
        print(f"{driver.counted - before:4} {best.name} {best.how} {' '.join(best.press)[:60]}", flush=True)  # fmt: skip
        if driver.page.locator(".decide").count() and driver.entry_id == shown:
            sys.exit(f"a dead end: the card stayed; {driver.page.inner_text('main')[:600]}")
        evening.done.append(best)
    driver.do("a")
    driver.do("Enter")
    driver.page.wait_for_selector(".done")


@contextmanager
def program(home: Path) -> Iterator[str]:
    """`dictate review`; gives its link."""
    environment = {**os.environ, "DICTATE_HOME": str(home), "PYTHONUNBUFFERED": "1"}
    process = subprocess.Popen(
        [sys.executable, "-m", "dictate", "review", "--no-browser"],
        env=environment, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    try:
        assert process.stdout is not None
        yield next(
            found.group()
            for line in process.stdout
            if (found := re.search(r"http://127\.0\.0\.1:\d+/enter\?token=\S+", line))
        )
    finally:
        process.terminate()
        process.wait(20)


def take_in(home: Path, script: Script, audio: Path) -> None:
    """The day, by commands."""
    (home / "settings.toml").write_text(f'trimmer = "{script.trimmer}"\nfarm = "{script.farm}"\n')
    farm = ["--farm", script.farm]
    for command in (
        ["roster", "import", str(audio / "roster.csv"), *farm, "--complete", "--yes"],
        ["take-in", str(audio), *farm, "--date", str(script.date), "--part"],
    ):  # fmt: skip
        subprocess.run(
            [sys.executable, "-m", "dictate", *command],
            env={**os.environ, "DICTATE_HOME": str(home)}, check=True, stdout=subprocess.DEVNULL,
        )  # fmt: skip


def wrong_in(evening: Evening) -> tuple[int, list[str]]:
    """Entries in the record, and what stands there that was not said, or was said and is not there."""
    right = evening.right()
    with evening.database.reading() as session:
        count = session.exec(select(func.count()).where(col(Entry.state) == "confirmed")).one()
    said = sum(len(note.entries) for note in evening.notes.values())
    return count, [f"{count} confirmed, {right} of {said} as said"] if right != said or count != said else []  # fmt: skip


@contextmanager
def evening_taken_in() -> Iterator[tuple[Evening, int]]:
    """The demo day's evening before its first key, and how many entries it has."""
    audio = demo_folder()
    script = read_script(audio)
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        take_in(home, script, audio)
        settings = Settings(home=home, trimmer=script.trimmer, farm=script.farm)
        with open_database(settings.database_url) as database:
            with database.reading() as session:
                visit_id = session.exec(select(Entry.visit_id)).first() or 0
                entries = session.exec(select(func.count()).select_from(Entry)).one()
            evening = Evening(
                database=database, settings=settings, visit_id=visit_id, notes=said_in(script),
                engine=None, folder=home,
            )  # fmt: skip
            yield evening, entries


@contextmanager
def first_page(home: Path, **screen: Any) -> Iterator[Page]:
    """What `dictate review` shows first, on such a screen."""
    with sync_playwright() as started:
        browser = started.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])  # fmt: skip
        with program(home) as link:
            context = browser.new_context(**screen)
            context.add_init_script(COUNT)
            page = context.new_page()
            page.goto(link)
            yield page
            context.close()
        browser.close()


def main() -> None:
    with evening_taken_in() as (evening, entries):
        with first_page(evening.folder, viewport=SCREEN) as page:
            driver = Driver(page)
            drive(driver, evening)
            keys = driver.counted
        count, wrong = wrong_in(evening)
    print(f"{keys} keys for {entries} entries: {keys / entries:.2f} an entry")  # fmt: skip
    print("; ".join(wrong) or f"the record holds {count} entries, all as they were said")
    sys.exit(1 if wrong or keys > KEYS_AN_ENTRY_MAX * entries else 0)


if __name__ == "__main__":
    main()
