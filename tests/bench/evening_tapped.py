"""The demo day's evening by a thumb: `python tests/bench/evening_tapped.py`.

As `evening_driven.py`, on a touch screen of 390 x 844: each step is a tap on what the page shows there,
letters are those of the phone's own keyboard, and it goes on behind the last card: confirm together, the
bill, the sheet as a PDF. A tap is only made where a thumb can make it: the middle of the target is
scrolled into sight, nothing lies over it, and it is at least 44 px high and wide (words of a running
line only 24 px high, as WCAG 2.2's 2.5.8 says at least). Exits with 1 at a dead end, a target too small or hidden, a wrong
entry of the record, or a sheet that is none.
"""

import sys
from contextlib import suppress

from evening_driven import (
    ARROWS,
    READ_MS,
    Driver,
    drive,
    evening_taken_in,
    first_page,
    wrong_in,
)
from playwright.sync_api import Error, Locator, Page

PHONE = {"width": 390, "height": 844}
TARGET_PX, WORD_PX = 44, 24
KEYS = {" ": "Space", "Space": " ", **ARROWS}
ON_TOP = """(node) => {
  const box = node.getBoundingClientRect();
  const top = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
  return top !== null && (node.contains(top) || top.contains(node));
}"""
CLICK_TO_COME = """() => {
  window.clicked = false;
  addEventListener("click", () => setTimeout(() => { window.clicked = true; }), { capture: true, once: true });
}"""
"""The browser makes a click of a tap a moment later: until then the page looks as if nothing was to come."""
BROUGHT = """(node) => {
  const box = node.getBoundingClientRect();
  if (box.top >= 0 && box.bottom <= innerHeight) return false;
  node.scrollIntoView({ block: "center" });
  return true;
}"""


class Thumb(Driver):
    """Taps what a key would do, as far as the screen lets it."""

    def __init__(self, page: Page) -> None:
        super().__init__(page)
        self.scrolls = 0
        self.faults: set[str] = set()

    def tap(self, target: Locator) -> None:
        """Tap in the middle, after scrolling there; note what a thumb would stumble over."""
        target.wait_for(timeout=5000)
        self.page.wait_for_timeout(READ_MS)
        self.scrolls += target.evaluate(BROUGHT)
        self._look(target)
        box = target.bounding_box()
        assert box is not None
        self.page.evaluate(CLICK_TO_COME)
        self.page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        with suppress(Error):  # a new page came already
            self.page.wait_for_function("window.clicked", timeout=5000)
        self.settle()

    def _look(self, target: Locator) -> None:
        name = " ".join(target.inner_text().split())[:40]
        box = target.bounding_box()
        assert box is not None
        least = WORD_PX if "word" in (target.get_attribute("class") or "") else TARGET_PX
        if min(box["width"], box["height"]) < least - 0.5:
            self.faults.add(f"{name}: {box['width']:.0f} x {box['height']:.0f} px")
        if box["x"] < 0 or box["x"] + box["width"] > PHONE["width"]:
            self.faults.add(f"{name}: beside the screen")
        if not target.evaluate(ON_TOP):
            self.faults.add(f"{name}: something lies over it")

    def do(self, key: str) -> None:
        self.settle()
        if key == "Control+a":
            self._field().fill("")
            return
        if len(key) == 1 and self.page.locator("#typed").count():
            self._letters(key)
            return
        if key == "Enter" and self.page.locator("#typed").count():
            self.tap(self.page.get_by_role("button", name="Read these words"))
            return
        target = self.named(key)
        self.tap(target or self._shown(KEYS.get(key, key)))

    def words(self, token: str) -> None:
        letters, _, last = token.rpartition(" ")
        if letters:
            self._letters(letters)
            self.page.locator("#offered-title", has_text=letters).wait_for()
        if letters and last == "Enter":
            self.tap(self.page.get_by_role("button", name="Put it in"))
        else:
            self.tap(self._shown(KEYS.get(last, last)))

    def _letters(self, letters: str) -> None:
        field = self._field()
        if not field.evaluate("node => node === document.activeElement"):
            self.tap(field)
        self.page.keyboard.type(letters)

    def _field(self) -> Locator:
        return self.page.locator("#typed, input[name=typed]").first

    def _shown(self, key: str) -> Locator:
        """What a key stands for, with the fold opened that holds it; an open question comes first."""
        keyed = f'[data-key="{key}"]'
        asked = self.page.locator(f":is(.discard, .ask)[open] > :not(summary) {keyed}")
        if asked.count():
            return asked.first
        found = self.page.locator(f"main {keyed}")
        closed = self.page.locator(".more-acts:not([open])").filter(has=self.page.locator(keyed))
        if not found.filter(visible=True).count() and closed.count():
            self.tap(closed.locator("> summary"))
        return found.filter(visible=True).first


def sheet_of(thumb: Thumb) -> bytes:
    """From the last card to the sheet in the hand."""
    page = thumb.page
    thumb.tap(page.get_by_role("link", name="Sheet and bill").first)
    page.wait_for_url("**/bill/**")
    with page.expect_response("**/sheet.pdf") as coming:
        thumb.tap(page.get_by_role("link", name="Print (PDF)"))
    # A phone shows it or keeps it, as it likes; what it got is asked for once more.
    return page.context.request.get(coming.value.url).body()


def main() -> None:
    with evening_taken_in() as (evening, entries):
        with first_page(evening.folder, viewport=PHONE, has_touch=True, is_mobile=True) as page:
            thumb = Thumb(page)
            drive(thumb, evening)
            taps = thumb.counted
            sheet = sheet_of(thumb)
        count, wrong = wrong_in(evening)
    print(f"{taps} taps and letters, {thumb.scrolls} of them behind a scroll, for {entries} entries: {taps / entries:.2f} an entry")  # fmt: skip
    print("; ".join(wrong) or f"the record holds {count} entries, all as they were said")
    print("; ".join(sorted(thumb.faults)) or "every target could be tapped")
    print(f"sheet of {len(sheet):,} bytes" if sheet.startswith(b"%PDF") else "no sheet came")
    sys.exit(1 if wrong or thumb.faults or not sheet.startswith(b"%PDF") else 0)


if __name__ == "__main__":
    main()
