"""Cards with much or nothing on them, fast fingers, and small screens: what has to be seen is seen."""

from collections.abc import Callable

import pytest
from sqlmodel import col, select

from dictate.notes.reading_notes import read_visit
from dictate.store.states import EntryState
from dictate.store.tables import Entry, Visit

from .conftest import Running, Tab
from .evening import Spoken, put_note
from .test_evening import entry_of

LAPTOP = {"width": 1366, "height": 768}
EIGHT_FINDINGS = (
    "cow seven hundred left front outer sole ulcer zone four severe inner white line abscess zone three "
    "left hind outer toe ulcer zone one inner heel horn erosion moderate right hind outer double sole zone "
    "five inner sole haemorrhage zone four mild right front outer digital dermatitis m two inner thin sole"
)
MANY_MARKS = (
    "cow seven nine one left hind outer soul elsie zone nine block on the inner wrap right front score three "
    "plum tree tomorrow or friday zone fourteen white lime disease right mind utter blah gristle look again "
    "in two weaks not ulcer severe mild"
)


@pytest.fixture
def heard(running: Running) -> Callable[[str], Entry]:
    """One more note of the evening, with these words; its entry."""

    def put(words: str) -> Entry:
        with running.database.writing() as session:
            visit = session.get_one(Visit, running.visit_id)
            put_note(session, running.settings, visit, 90, Spoken(meant=words))
        read_visit(running.database, running.settings, running.visit_id)
        with running.database.reading() as session:
            newest = session.exec(select(Entry).order_by(col(Entry.id).desc())).first()
            assert newest is not None
            session.expunge(newest)
        return newest

    return put


def in_sight(at: Tab, part: str) -> bool:
    """Whole on the screen, and above the bar that stays at its lower end."""
    box = at.page.locator(part).first.bounding_box()
    bar = at.page.locator(".decide").bounding_box()
    low = LAPTOP["height"] if part.startswith(".decide") else bar["y"]
    return bool(box["y"] >= 0 and box["y"] + box["height"] <= low + 1)


def test_eight_findings_fit_a_small_laptop_and_a_question_opens_in_sight(
    running: Running, tab: Callable[..., Tab], heard: Callable[[str], Entry]
) -> None:
    entry = heard(EIGHT_FINDINGS)
    assert len(entry.content["findings"]) == 8
    at = tab(viewport=LAPTOP)
    at.open(f"/visits/{running.visit_id}/queue?entry={entry.id}")
    for part in (".sentence", ".claw-map", ".place select", ".heard", ".decide > .act button"):
        assert in_sight(at, part), part
    at.press("h")
    at.page.wait_for_function("scrollY > 0")
    assert in_sight(at, ".ask[open] [data-key='3']")
    at.press("3")
    assert at.page.inner_text(".sentence").startswith("left hind outer sole ulcer")
    at.page.get_by_label("Which finding moves").select_option("2")
    at.page.locator(".claw-map [data-zone='5'][data-foot='RF'][data-claw='inner']").click()
    at.page.wait_for_selector(".sentence >> text=right front inner toe ulcer, zone 5")


def test_many_marks_leave_room_for_choices_and_words(
    running: Running, tab: Callable[..., Tab], heard: Callable[[str], Entry]
) -> None:
    """Why each mark stands there opens with a click."""
    entry = heard(MANY_MARKS)
    count = len(entry.content["mark_details"])
    assert count > 8
    at = tab(viewport=LAPTOP)
    at.open(f"/visits/{running.visit_id}/queue?entry={entry.id}")
    for part in (".sentence", ".marks", ".choices", ".heard", ".claw-map", ".decide button"):
        assert in_sight(at, part), part
    why = at.page.locator(".marks details").first
    assert at.page.locator(".marks details").count() == count
    why.locator("summary").click()
    assert len(why.inner_text()) > len(why.locator("summary").inner_text()) + 20


def test_a_card_of_which_nothing_was_understood_offers_to_discard_it(
    running: Running, tab: Callable[..., Tab], heard: Callable[[str], Entry]
) -> None:
    entry = heard("go mix oven")
    phone = tab(viewport={"width": 390, "height": 844}, has_touch=True)
    phone.open(f"/visits/{running.visit_id}/queue?entry={entry.id}")
    phone.page.locator(".decide > .discard > summary").tap()
    phone.page.get_by_role("button", name="noise only").tap()
    phone.page.wait_for_selector(".notice >> text=Discarded")
    with running.database.reading() as session:
        assert session.get_one(Entry, entry.id).state == EntryState.REJECTED


@pytest.mark.parametrize("delay", [0, 20, 60])
def test_digits_pressed_while_their_page_comes_arrive_in_their_order(
    running: Running, tab: Callable[..., Tab], delay: int
) -> None:
    at = tab()
    at.open(f"/visits/{running.visit_id}/queue?entry={entry_of(running, '513').id}")
    at.page.keyboard.type("n563", delay=delay)
    at.page.wait_for_selector("h1 >> text=563…")
    at.settle()
    at.page.get_by_role("button", name="Cow 563", exact=True).wait_for()
