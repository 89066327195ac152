"""Goes through the demo day on the page as a tired, clumsy and unlucky person, and compares the record.

    python tests/bench/page_mischief.py [SEED ...]

For each seed the program runs as a process of its own and Chromium shows its page, at odd seeds on a
phone and by touch. Every card is first damaged on purpose on some of them (another foot, zone, lesion,
claw or number, by keys, by the claw map or in the form), then put right by one of the ways that the page
has, and confirmed. Between the keys comes mischief: a wrong key and undo, Enter twice, a second tab that
was faster, a lost network, and the program killed and started again in the middle of a card. At the end
the record has to be what was said (35 entries), no more and no less; 1 is given back when it is not.
"""

import contextlib
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, sync_playwright
from review_keys import Evening, hear_day, right, said_in
from sqlmodel import Session, select

from dictate.demo.script import demo_folder, read_script
from dictate.entry.values import EntryValues
from dictate.review.waiting import WaitingEntry, waiting
from dictate.settings import Settings
from dictate.store.database import open_database
from dictate.store.states import EntryState
from dictate.store.tables import Entry

CHROMIUM = shutil.which("chromium") or "/usr/bin/chromium"
READ_S = 0.45
"""The page takes no second confirmation sooner: nobody reads a card so fast."""
WAIT_MS = 30_000
OUTSIDE = ("tab", "kill", "network", "wrong key", "none", "none")
HARM = ("foot", "zone", "lesion", "number", "map", "form", "none", "none")
STEPS_MAX = 600


class Program:
    """`dictate review`, which can be killed and started again at the same place."""

    def __init__(self, home: Path) -> None:
        self.home, self.process, self.link = home, None, ""

    def start(self) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "dictate", "review", "--no-browser"],
            env={**os.environ, "DICTATE_HOME": str(self.home), "PYTHONUNBUFFERED": "1"},
            stdout=subprocess.PIPE,
            text=True,
        )
        for line in self.process.stdout:
            if found := re.search(r"http://127\.0\.0\.1:\d+/enter\?token=\S+", line):
                self.link = found.group()
                return
        raise SystemExit("the program did not start")

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()
        self.process.stdout.close()


class Person:
    """Presses keys and touches buttons, with bad luck."""

    def __init__(self, evening: Evening, program: Program, page: Page, seed: int) -> None:
        self.evening, self.program, self.page = evening, program, page
        self.luck = random.Random(seed)
        self.touch = bool(seed % 2)
        self.done: Counter[str] = Counter()
        self.base = program.link.split("/enter")[0]
        self.harmed: set[int] = set()
        self.turned_at = 0.0

    # --- seeing ------------------------------------------------------------------------------
    def look(self) -> tuple[WaitingEntry, list[EntryValues]] | None:
        """The first entry that waits and what is to come of it."""
        with self.evening.database.reading() as session:
            entries = waiting(session, self.evening.visit_id)
            if not entries:
                return None
            one = entries[0]
            return one, self.evening._wanted(session, one)

    def state(self) -> list[tuple[Any, ...]]:
        """All entries as they stand: state and what they record."""
        with self.evening.database.reading() as session:
            rows = session.exec(select(Entry).order_by(Entry.id)).all()
            return [(one.id, one.state, one.content.get("animal"), repr(one.content["findings"]), repr(one.content["actions"])) for one in rows]  # fmt: skip

    def settle(self) -> None:
        self.page.wait_for_load_state("load")
        self.page.locator("body:not([data-busy])").wait_for(timeout=WAIT_MS)
        self.turned_at = time.monotonic()

    # --- doing -------------------------------------------------------------------------------
    def open(self, entry_id: int) -> None:
        self.page.goto(f"{self.base}/visits/{self.evening.visit_id}/queue?entry={entry_id}")
        self.settle()

    def press(self, key: str) -> None:
        if key in {"Enter", "y"}:
            time.sleep(max(0.0, READ_S - (time.monotonic() - self.turned_at)))
        self.settle()
        self.page.keyboard.press(key)
        self.settle()

    def act(self, key: str, button: str) -> None:
        """A key, or by touch the button or link that says the same."""
        if not self.touch:
            self.press(key)
            return
        if key in {"Enter", "y"}:
            time.sleep(max(0.0, READ_S - (time.monotonic() - self.turned_at)))
        self.settle()
        if not self.page.locator(button).first.is_visible():
            self.page.locator(".more-acts > summary").click()
        self.page.locator(button).first.click()
        self.settle()

    def confirm(self) -> None:
        fresh = self.page.locator("button.new")
        if fresh.count():
            self.act("y", "button.new")
        else:
            self.act("Enter", ".decide button.main")

    def choose(self, slot: str, key: str, value: str) -> bool:
        """H, C, Z or E, then a choice of the first finding."""
        fold = self.page.locator(f"details.ask:has(summary[data-key={key}])")
        if not fold.count():
            return False
        self.act(key, f"summary[data-key={key}]")
        choice = fold.locator(f"form:has(input[value='findings.0.{slot}']) button[value='{value}']")
        if not choice.count():
            return False
        choice.first.click()
        self.settle()
        return True

    def type_all(self, said: str) -> None:
        self.act("t", "a[data-key=t]")
        field = self.page.locator("#typed")
        field.wait_for(timeout=WAIT_MS)
        field.fill(said)
        self.trouble("typed")
        assert field.input_value() == said, "what was typed is gone"
        field.press("Enter")
        self.page.wait_for_url("**/queue**", timeout=WAIT_MS)
        self.settle()

    # --- mischief ----------------------------------------------------------------------------
    def harm(self, one: WaitingEntry) -> None:
        """Change something on purpose that then has to be put right."""
        what = self.luck.choice(HARM)
        values = one.values
        lesion = values.findings and values.findings[0].lesion != "no lesion"
        done = False
        if what == "foot" and values.findings:
            feet = [foot for foot in ("LF", "RF", "LH", "RH") if foot != values.findings[0].foot]
            done = self.choose("foot", "h", self.luck.choice(feet))
        elif what == "zone" and lesion:
            done = self.choose("zone", "z", str(self.luck.randrange(13)))
        elif what == "lesion" and values.findings:
            done = self.choose("lesion", "e", "toe ulcer")
        elif what == "map" and lesion and self.page.locator("[data-zone='5'][data-foot='RF']").count():  # fmt: skip
            self.page.locator("[data-zone='5'][data-foot='RF']").first.dispatch_event("click")
            self.settle()
            done = True
        elif what == "number":
            self.act("n", "a[data-key=n]")
            self.page.locator(".choices form button").first.click()
            self.settle()
            done = True
        elif what == "form":
            self.act("f", "a[data-key=f]")
            self.page.locator("textarea[name=remark]").fill("not said at all")
            self.page.get_by_role("button", name="Keep these changes").click()
            self.settle()
            done = True
        if done:
            self.done[f"harm: {what}"] += 1

    def trouble(self, where: str) -> None:
        """Something from outside, in the middle of a card."""
        what = self.luck.choice(OUTSIDE)
        if what == "none":
            return
        if what == "wrong key" and where == "typed":
            return
        self.done[f"trouble: {what}"] += 1
        if what == "kill":
            self.program.kill()
            self._send_into_nothing(where)
            self.program.start()
            self._back()
        elif what == "network":
            self.page.context.set_offline(True)
            self._send_into_nothing(where)
            self.page.context.set_offline(False)
            self._back()
        elif what == "wrong key":
            before = self.state()
            self.press(self.luck.choice("ghimoqvy?"))
            if self.state() != before:
                self.press("u")
            assert self.state() == before, "undo does not take a wrong key back"
            self.page.reload()
            self.settle()
        elif what == "tab":
            other = self.page.context.new_page()
            other.goto(self.page.url)
            other.close()

    def _send_into_nothing(self, where: str) -> None:
        if where == "typed":
            self.page.locator("#typed").press("Enter")
        else:
            time.sleep(READ_S)
            main = self.page.locator("button.new, .decide button.main")
            (main.first if main.count() else self.page.locator("a[data-key=n]").first).click()
        self.page.wait_for_selector("text=The program does not answer", timeout=WAIT_MS)

    def _back(self) -> None:
        self.page.wait_for_selector("text=The program is back", timeout=WAIT_MS)
        self.settle()

    # --- the evening -------------------------------------------------------------------------
    def card(self) -> bool:
        """One card; False when nothing waits any more."""
        seen = self.look()
        if seen is None:
            return False
        one, wanted = seen
        self.open(one.id)
        if one.id not in self.harmed:
            self.harmed.add(one.id)
            self.harm(one)
            seen = self.look_at(one.id)
            if seen is None:
                return True
            one, wanted = seen
            self.open(one.id)
        note = self.evening.notes[one.clip]
        if not wanted:
            self.act("x", ".discard summary")
            self.page.locator(".discard form button").first.click()
            self.settle()
            self.done["discarded"] += 1
            return True
        if not right([one.values], wanted):
            if self.luck.random() < 0.5 and self._number_alone(one, wanted):
                self.done["put right: number"] += 1
            else:
                self.type_all(note.said)
                self.done["put right: typed"] += 1
            return True
        self.trouble("card")
        before = Counter(state for _, state, *_ in self.state())
        twice = self.luck.random() < 0.2 and not self.touch
        if twice:
            key = "y" if self.page.locator("button.new").count() else "Enter"
            time.sleep(READ_S)
            self.page.keyboard.press(key)
            time.sleep(self.luck.choice((0.0, 0.05, 0.2)))
            self.page.keyboard.press(key)
            self.settle()
            self.done["pressed twice"] += 1
        else:
            self.confirm()
        if twice:
            after = Counter(state for _, state, *_ in self.state())
            assert after[EntryState.CONFIRMED] <= before[EntryState.CONFIRMED] + 1, "Enter twice"
        self.done["confirmed"] += 1
        return True

    def look_at(self, entry_id: int) -> tuple[WaitingEntry, list[EntryValues]] | None:
        with self.evening.database.reading() as session:
            return next(
                (
                    (one, self.evening._wanted(session, one))
                    for one in waiting(session, self.evening.visit_id)
                    if one.id == entry_id
                ),
                None,
            )

    def _number_alone(self, one: WaitingEntry, wanted: list[EntryValues]) -> bool:
        """By N and its digits, where nothing but the number is wrong."""
        number = wanted[0].animal or ""
        changed = one.values.model_copy(update={"animal": number})
        if len(wanted) != 1 or not number or not right([changed], wanted):
            return False
        self.act("n", "a[data-key=n]")
        for digit in number:
            self.act(digit, f".digits a[data-key='{digit}']")
        self.act("Enter", "button.main[data-key=Enter]")
        return True


def goes_right(seed: int, heard: Path, chromium: Any) -> bool:
    """One evening with this seed; whether the record is what was said."""
    audio = demo_folder()
    script = read_script(audio)
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder) / "home"
        shutil.copytree(heard, home)
        (home / "settings.toml").write_text(
            f'trimmer = "{script.trimmer}"\nfarm = "{script.farm}"\nlearn_voice = "never"\n'
        )
        settings = Settings(home=home, trimmer=script.trimmer, farm=script.farm)
        program = Program(home)
        program.start()
        size = {"width": 390, "height": 844} if seed % 2 else {"width": 1366, "height": 768}
        context = chromium.new_context(viewport=size, has_touch=bool(seed % 2))
        page = context.new_page()
        page.set_default_timeout(WAIT_MS)
        try:
            page.goto(program.link)
            page.wait_for_selector("text=To review")
            with open_database(settings.database_url) as database:
                evening = Evening(
                    database=database, settings=settings, visit_id=_visit(database.reading),
                    notes=said_in(script), engine=None, folder=home,
                )  # fmt: skip
                person = Person(evening, program, page, seed)
                steps = 0
                while person.card() and steps < STEPS_MAX:
                    steps += 1
                said = sum(len(note.entries) for note in script.note)
                kept = evening.right()
                how = ", ".join(f"{name} {count}" for name, count in sorted(person.done.items()))
                print(f"seed {seed}: {kept} of {said} as said, {steps} cards; {how}", flush=True)
                return kept == said and steps < STEPS_MAX
        except Exception:
            with contextlib.suppress(Exception):
                page.screenshot(path=Path(tempfile.gettempdir()) / f"mischief-{seed}.png")
                print(f"seed {seed} stopped at {page.url}: {page.inner_text('main')[:400]}")
            raise
        finally:
            context.close()
            program.kill()


def _visit(reading: Callable[[], Any]) -> int:
    with reading() as session:
        assert isinstance(session, Session)
        return session.exec(select(Entry.visit_id)).first() or 0


def main() -> None:
    seeds = [int(one) for one in sys.argv[1:]] or [1, 2, 3, 4]
    script = read_script(demo_folder())
    with tempfile.TemporaryDirectory() as folder:
        os.environ["DICTATE_HOME"] = folder
        settings = Settings(home=Path(folder), trimmer=script.trimmer, farm=script.farm)
        with open_database(settings.database_url) as database:
            hear_day(database, settings, script, demo_folder())
        with sync_playwright() as playwright:
            chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
            results = [goes_right(seed, Path(folder), chromium) for seed in seeds]
            chromium.close()
    sys.exit(0 if all(results) else 1)


if __name__ == "__main__":
    main()
