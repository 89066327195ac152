"""Every page: free of accessibility faults (axe-core), whole at 360 px, and usable without scripts."""

import json
import re
import zipfile
from collections.abc import Callable, Iterator
from gettext import NullTranslations
from pathlib import Path
from typing import Any

import pytest
from sqlmodel import col, func, select

from dictate import texts
from dictate.notes.reading_notes import read_visit
from dictate.review.learning import teach
from dictate.store.record_tables import FollowUp
from dictate.store.states import EntryState
from dictate.store.tables import Animal, Clip, Entry, Visit
from tests.deciding import confirm, confirm_unmarked
from tests.dictate.web.test_weight import PATHS

from .conftest import ARTEFACTS, Running, Tab
from .evening import FARM, Spoken, put_note, tone

IN_THE_DARK = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}
"""Colours are all that differs in the dark."""
KEEP_FEW_ROWS = """() => {
  for (const list of document.querySelectorAll("tbody, ul, ol, dl, section, main"))
    [...list.children].slice(12).forEach(row => row.remove());
}"""
"""Rows further down are made by the same lines of a template: they would be looked at again and again."""
CUT = """() => [...document.querySelectorAll(".scroll")]
  .filter(one => one.scrollWidth > one.clientWidth + 1).map(one => one.getAttribute("aria-label"))"""
"""Tables of which a part is beside the screen."""
WIDE, NARROW = {"width": 1200, "height": 900}, {"width": 360, "height": 740}


@pytest.fixture
def evening_half_done(running: Running) -> Iterator[Running]:
    """Some entries confirmed, something learnt: every page has something to show."""
    with running.database.writing() as session:
        confirm_unmarked(session, running.visit_id, by="Robin Field")
        visit = session.get_one(Visit, running.visit_id)
        teach(session, visit.trimmer_id, "soul elsie", "sole ulcer", by="Robin Field")
    return running


def all_paths(running: Running) -> list[str]:
    with running.database.reading() as session:
        confirmed = session.exec(
            select(Entry).where(
                Entry.state == EntryState.CONFIRMED, col(Entry.animal_id).is_not(None)
            )
        ).all()
        entry = next(
            one for one in confirmed if one.content["actions"] and one.content["follow_ups"]
        )
        waiting = session.exec(select(Entry.id).where(Entry.state == EntryState.WAITING)).first()
    visit = running.visit_id
    return [
        "/", f"/visits/{visit}", f"/visits/{visit}/queue", f"/visits/{visit}/unmarked",
        f"/entries/{entry.id}", f"/entries/{waiting}/fix", f"/entries/{waiting}/number?begins=4",
        f"/entries/{waiting}/words", f"/entries/{waiting}/words?room=true&typed=w",
        "/animals", f"/animals/{entry.animal_id}", "/follow-ups?span=all", "/learnt", "/voice", "/voice/read", "/roster",
        "/settings", "/glossary", "/record", f"/visits/{visit}/sheet", "/herd", "/bill", f"/bill/{visit}?written=true",
        "/farms", "/farms/1", "/first-steps", "/animals?show=due", "/farms/1/herd", "/farms/1/herd/annex", "/farms/1/herd/cases", f"/visits/{visit}/left-aside", "/entries/99999",
        "/past", "/settings/hearing", "/settings/safe", "/settings/phone", "/settings/microphone", "/pair",
    ]  # fmt: skip


def test_every_page_of_the_program_is_looked_at(evening_half_done: Running) -> None:
    """A new page is added above; `test_weight.py` knows them all."""
    looked_at = {re.sub(r"\d+", "1", path.split("?")[0]) for path in all_paths(evening_half_done)}
    assert set(PATHS) <= looked_at


def test_no_page_has_an_accessibility_fault(
    evening_half_done: Running, tab: Callable[..., Tab], tmp_path: Path
) -> None:
    """In light and in the dark, wide and at 360 px; axe-core comes with the package axe-playwright-python."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    at = tab(allowed="404")
    faults = []

    def look(path: str, name: str, options: dict[str, Any] | None = None) -> None:
        if options is None:  # this puts axe-core into the page, for the looks after it as well
            found = axe.run(at.page).response["violations"]
        else:
            found = at.page.evaluate("options => axe.run(document, options)", options)["violations"]
        faults.extend((path, name, one["id"], one["nodes"][0]["target"]) for one in found)

    def shoot(name: str, path: str) -> None:
        if ARTEFACTS:
            at.shoot(f"{name}-{path.strip('/').replace('/', '-').split('?')[0] or 'visits'}")

    lists = {"/roster": "Cow No;Lact\n901;2\n902;x\n", "/past": "Date,Cow,Lesion\n2025-03-03,412,plork\n"}  # fmt: skip
    for path in (*all_paths(evening_half_done), *(f"{path}#matched" for path in lists)):
        at.open(path)
        if path.endswith("#matched"):
            (tmp_path / "list.csv").write_text(lists[path.removesuffix("#matched")])
            at.look_at(tmp_path / "list.csv")
            at.page.wait_for_selector("h2 >> text=What it would do")
        at.page.set_viewport_size(NARROW)
        shoot("phone", path)
        width = at.page.evaluate("document.documentElement.scrollWidth")
        if width > NARROW["width"] and not path.endswith(("/sheet", "/annex")):
            faults.append((path, "wider than the screen", width))
        if not path.endswith("#matched"):  # a stranger's columns are as many as they are
            faults.extend((path, "cut at the edge", one) for one in at.page.evaluate(CUT))
        if not ARTEFACTS:
            at.page.evaluate(KEEP_FEW_ROWS)
        at.page.set_viewport_size(WIDE)
        shoot("light", path)
        look(path, "light")
        at.page.emulate_media(color_scheme="dark")
        shoot("dark", path)
        look(path, "dark", IN_THE_DARK)
        at.page.set_viewport_size(NARROW)
        look(path, "phone in the dark", IN_THE_DARK)
        at.page.emulate_media(color_scheme="light")
        look(path, "phone", {})
        at.page.set_viewport_size(WIDE)
    assert faults == []


def test_the_evening_works_without_scripts(running: Running, tab: Callable[..., Tab]) -> None:
    """Choose, confirm, fix, discard, confirm together and undo, all by plain forms."""
    at = tab(java_script_enabled=False)
    page = at.page
    page.get_by_role("link", name="Review").click()
    page.get_by_role("button", name="cow 512").click()
    assert at.title == "Cow 512"
    page.get_by_role("button", name="Confirm", exact=True).click()
    assert "Confirmed: 512" in page.inner_text(".notice")
    page.locator(".more-acts > summary").click()
    page.get_by_role("link", name="Fix slot by slot").click()
    page.get_by_label("Number", exact=True).fill("526")
    page.get_by_role("button", name="Keep these changes").click()
    assert at.title == "Cow 526"
    page.locator(".more-acts > summary").click()
    page.locator(".discard > summary").click()
    page.get_by_role("button", name="said twice").click()
    assert "Discarded: said twice" in page.inner_text(".notice")
    page.get_by_role("link", name="without marks").click()
    page.get_by_role("button", name="Confirm those ticked").click()
    assert "together" in page.inner_text(".notice")
    page.locator(".more-acts > summary").click()
    page.get_by_role("button", name="Undo my last step").click()
    assert "entries are back" in page.inner_text(".notice")
    with running.database.reading() as session:
        states = dict(
            session.exec(select(Entry.state, func.count()).group_by(col(Entry.state))).all()
        )
    assert states[EntryState.CONFIRMED] == 1
    assert states[EntryState.REJECTED] == 1


def test_a_roster_is_matched_previewed_and_taken_in(
    running: Running, tab: Callable[..., Tab], tmp_path: Any
) -> None:
    at = tab(allowed="422")
    file = tmp_path / "herd.csv"
    file.write_text("Cow No;Ear Tag;Lact;Colour\n901;TT 1;2;red\n902;TT 2;x;black\n")
    at.open("/roster")
    at.look_at(file)
    at.page.wait_for_selector("text=1 line will not be taken in")
    at.shoot("roster-problem")
    assert at.page.get_by_label("Column Cow No is").input_value() == "number"
    assert "Line 3: lactation 'x' is no whole number" in at.page.inner_text("main")
    at.page.get_by_label("Column Lact is").select_option("")
    at.page.get_by_role("button", name="Look again").click()
    at.page.wait_for_selector("text=2 new animals")
    at.page.get_by_role("button", name="Take them in").click()
    at.page.wait_for_selector("text=2 added")
    with running.database.reading() as session:
        found = session.exec(select(Animal).where(col(Animal.number).in_(("901", "902")))).all()
    assert {(one.number, one.ear_tag, one.lactation) for one in found} == {
        ("901", "TT 1", None), ("902", "TT 2", None),
    }  # fmt: skip


def test_a_spoken_remark_cannot_run_as_script(running: Running, tab: Callable[..., Tab]) -> None:
    """What was said, and names from a roster, are shown as they are and never obeyed."""
    evil = "<img/src=x/onerror=alert(1)><script>alert(2)</script>"
    with running.database.writing() as session:
        visit = session.get_one(Visit, running.visit_id)
        spoken = Spoken(meant="", heard=f"cow seven oh one {evil} all good remark {evil}")
        put_note(session, running.settings, visit, 90, spoken)
        session.exec(select(Animal).where(Animal.number == "701")).one().name = evil
    read_visit(running.database, running.settings, running.visit_id)
    with running.database.writing() as session:
        found = session.exec(select(Entry).order_by(col(Entry.id).desc())).first()
        assert found is not None
        assert found.content["animal"] == "701"
        entry_id = found.id
        done = confirm(session, entry_id, by=evil)
        animal_id = done.animal_id
    at = tab()
    at.page.on("dialog", lambda box: at.errors.append(box.message))
    for path in (f"/entries/{entry_id}", f"/entries/{entry_id}/fix", f"/animals/{animal_id}",
                 f"/visits/{running.visit_id}", f"/visits/{running.visit_id}/sheet", "/animals"):  # fmt: skip
        at.open(path)
        assert at.page.locator("img, main script").count() == 0, path
    at.open(f"/entries/{entry_id}")
    assert evil in at.page.inner_text("main")


def test_what_is_due_is_ticked_put_off_and_opened_again_many_at_once(
    evening_half_done: Running, tab: Callable[..., Tab]
) -> None:
    at = tab()
    at.open("/follow-ups?span=all")
    assert "left hind outer sole ulcer" in at.page.inner_text("main")
    for line in at.page.locator(".due-list input").all()[:3]:
        line.check()
    at.page.get_by_role("button", name="Done, those ticked").click()
    at.page.wait_for_selector(".notice >> text=Done: 3 lines")
    with evening_half_done.database.reading() as session:
        done = session.exec(select(FollowUp).where(col(FollowUp.done_on).is_not(None))).all()
    assert [one.done_by for one in done] == ["Robin Field"] * 3
    at.page.locator(".notice").get_by_role("button", name="Undo").click()
    at.page.wait_for_selector("text=Open again: 3 lines")
    at.open("/follow-ups?span=all")
    at.page.locator(".due-list input").first.check()
    at.page.get_by_label("Put off to").fill("2026-04-30")
    assert at.page.inner_text(".until .day-said") == "30 Apr 2026"  # however the browser writes it
    at.page.get_by_role("button", name="Put off").click()
    at.page.wait_for_selector("text=Put off to 30 Apr 2026: 1 line")
    with evening_half_done.database.reading() as session:
        assert all(session.get_one(FollowUp, one.id).done_on is None for one in done)
        moved = session.exec(select(FollowUp).where(col(FollowUp.snoozed_to).is_not(None))).one()
    assert moved.snoozed_to.isoformat() == "2026-04-30"


def test_the_evening_ends_with_sheet_bill_mail_and_files(
    evening_half_done: Running, tab: Callable[..., Tab]
) -> None:
    """From today to the bill by links; the sheet for the mail is written; files come down."""
    at = tab()
    at.page.get_by_role("link", name="The visit").click()
    at.page.get_by_role("link", name="Sheet and bill").click()
    at.page.wait_for_selector("text=no price set")
    at.page.get_by_role("button", name="Send by e-mail").click()
    link = at.page.get_by_role("link", name="Open the mail program").get_attribute("href")
    name = f"visit-{evening_half_done.visit_id}-2026-03-02.pdf"
    assert link.startswith("mailto:?subject=Claw%20trimming")
    assert name in link
    assert (evening_half_done.settings.sheets / name).read_bytes().startswith(b"%PDF")
    at.open("/bill")
    with at.page.expect_download() as coming:
        at.page.get_by_role("link", name="As CSV tables").click()
    assert "finding.csv" in zipfile.ZipFile(coming.value.path()).namelist()
    with at.page.expect_download() as coming:
        at.page.get_by_role("link", name="As Parquet tables").click()
    packed = zipfile.ZipFile(coming.value.path())
    assert packed.read("finding.parquet").startswith(b"PAR1")
    at.open("/farms/1")
    with at.page.expect_download() as coming:
        at.page.get_by_role("link", name="For animal data exchange").click()
    packed = zipfile.ZipFile(coming.value.path())
    assert all(
        json.loads(packed.read(name)) for name in packed.namelist() if name.endswith(".json")
    )
    assert any("118" in packed.read(name).decode() for name in packed.namelist())
    at.page.get_by_label("A year to hand over").select_option("2026")
    with at.page.expect_download() as coming:
        at.page.get_by_role("button", name="Herd picture, sheets and tables").click()
    names = zipfile.ZipFile(coming.value.path()).namelist()
    assert {"herd.pdf", "visit-2026-03-02.pdf", "due.ics", "findings.csv"} <= {*names}


def test_the_herd_page_leads_to_the_animals_it_names(
    evening_half_done: Running, tab: Callable[..., Tab]
) -> None:
    at = tab()
    at.open("/herd")
    assert "had a lesion" in at.page.inner_text("main")
    at.page.get_by_role("link", name="118", exact=True).first.click()
    at.page.wait_for_selector("h1 >> text=Cow 118")
    assert "sole ulcer, outer zone 4" in at.page.inner_text(".feet")
    at.page.locator("main").get_by_role("link", name="Animals").click()
    at.page.wait_for_selector("h1 >> text=Animals: Alder Farm")


def test_first_steps_keep_a_name_and_a_farm(running: Running, tab: Callable[..., Tab]) -> None:
    at = tab()
    at.open("/first-steps")
    at.page.get_by_label("Your name").fill("Kim Waters")
    at.page.get_by_label("A farm where you trim").fill("Birch Farm")
    # A step may be ready already, from another test: what counts is that this was taken.
    with at.page.expect_response(lambda answer: answer.request.method == "POST"):
        at.page.get_by_role("button", name="Keep").click()
    at.page.wait_for_selector(".steps > li.ready")
    at.open("/farms")
    at.page.get_by_role("link", name="Birch Farm").click()
    at.page.wait_for_selector("h1 >> text=Birch Farm")
    assert "No roster: numbers cannot be checked" in at.page.inner_text("main")


def test_playing_starts_at_the_word_that_was_clicked(
    running: Running, tab: Callable[..., Tab]
) -> None:
    at = tab()
    at.open(f"/visits/{running.visit_id}/queue")
    at.page.locator(".word").nth(4).click()
    started = at.page.evaluate(
        "new Promise(done => { const a = document.querySelector('audio');"
        " const look = () => a.currentTime >= 1.4 ? done(a.currentTime) : setTimeout(look, 20); look(); })"
    )
    assert 1.4 <= started < 2.2
    at.press("s")
    assert at.page.evaluate("document.querySelector('audio').playbackRate") < 1


def test_the_record_page_sends_each_clip_exactly_once(
    running: Running, tab: Callable[..., Tab], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Chromium's pretended microphone speaks; the laptop is away at first, then comes back."""
    monkeypatch.setattr("dictate.web.desk.Desk.hear_waiting_clips", lambda _desk: None)
    at = tab(permissions=["microphone"], allowed="net::ERR")
    at.open("/record")
    at.page.route("**/record/clips", lambda route: route.abort())
    at.page.locator("#record").click()
    at.page.wait_for_selector("#record[aria-pressed=true]")
    at.page.wait_for_timeout(1200)
    at.page.locator("#record").click()
    at.page.wait_for_selector("text=1 waiting here")
    at.shoot("record-waiting")
    with running.database.reading() as session:
        before = session.exec(select(func.count()).select_from(Clip)).one()
    at.page.unroute("**/record/clips")
    at.page.reload()  # the clip survived in the browser
    at.page.wait_for_selector("text=1 sent, 0 waiting here")
    at.page.reload()
    at.page.wait_for_selector("text=0 sent, 0 waiting here")
    with running.database.reading() as session:
        clips = session.exec(select(Clip).order_by(col(Clip.id))).all()
    assert len(clips) == before + 1
    assert clips[-1].source_rate == 16_000
    assert 0.8 < clips[-1].seconds < 3


def test_a_file_sent_twice_is_kept_once(
    running: Running, tab: Callable[..., Tab], tmp_path: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("dictate.web.desk.Desk.hear_waiting_clips", lambda _desk: None)
    file = tmp_path / "note.wav"
    file.write_bytes(tone(1.0, pitch=999))
    at = tab(java_script_enabled=False)
    for told in ("It is being heard", "was here already"):
        at.page.goto(f"{running.url}/record")
        at.page.get_by_label("Farm").fill(FARM)
        at.page.get_by_label("Sound files").set_input_files(file)
        at.page.get_by_role("button", name="Take them in").click()
        assert told in at.page.inner_text(".notice")


def test_a_note_said_again_takes_two_keys(
    running: Running, tab: Callable[..., Tab], monkeypatch: pytest.MonkeyPatch
) -> None:
    """It listens until the voice stops, puts the words where typing would, and shows the card again."""
    monkeypatch.setattr("dictate.web.pages.record.has_speech", lambda _sound: True)
    monkeypatch.setattr("dictate.web.desk.Desk.hear", lambda *_: "cow six six seven [unk] clean")
    with running.database.reading() as session:
        entries = session.exec(select(Entry)).all()
        lost = next(one for one in entries if one.content["animal"] is None)
    at = tab(permissions=["microphone"])
    at.open(f"/visits/{running.visit_id}/queue?entry={lost.id}")
    at.press("r")
    at.page.wait_for_selector("text=Cow 667")
    at.press("Enter")
    assert at.keys == 2
    with running.database.reading() as session:
        assert session.get_one(Entry, lost.id).state == EntryState.CONFIRMED


def test_the_claw_map_says_its_marks_to_pointer_keyboard_and_touch(
    running: Running, tab: Callable[..., Tab]
) -> None:
    with running.database.reading() as session:
        entries = session.exec(select(Entry)).all()
        ulcer = next(one for one in entries if one.content["animal"] == "118")
    at = tab(has_touch=True)
    at.open(f"/entries/{ulcer.id}")
    told = at.page.locator("figcaption")
    usual = told.inner_text()
    found = at.page.locator(".claw-map .found").first
    for reach, leave in (
        (found.hover, lambda: at.page.mouse.move(5, 5)),
        (found.focus, found.blur),
        (found.tap, found.blur),
    ):
        reach()
        assert told.inner_text() == "left hind outer zone 4: sole ulcer"
        leave()
        assert told.inner_text() == usual


def test_many_files_are_sent_with_progress_and_none_twice(
    running: Running, tab: Callable[..., Tab], tmp_path: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("dictate.web.desk.Desk.hear_waiting_clips", lambda _desk: None)
    files = []
    for at in range(3):
        files.append(tmp_path / f"note {at}.wav")
        files[-1].write_bytes(tone(1.0, pitch=900 + at))
    broken = tmp_path / "note 9.wav"
    broken.write_bytes(b"no sound at all")
    at = tab(allowed="422")
    at.open("/record")
    at.page.get_by_label("Farm").fill(FARM)
    at.page.get_by_label("Sound files").set_input_files([*files, broken])
    at.page.get_by_role("button", name="Take them in").click()
    at.page.wait_for_selector("text=3 of 4 taken in")
    assert "note 9.wav" in at.page.inner_text("#sent-list")
    at.page.get_by_label("Sound files").set_input_files(files)
    at.page.get_by_role("button", name="Take them in").click()
    at.page.wait_for_selector("text=0 of 3 taken in")
    assert at.page.inner_text("#sent-list").count("was here already") == 3


def test_files_named_by_an_earlier_day_set_the_day_and_say_so(
    running: Running, tab: Callable[..., Tab], tmp_path: Any
) -> None:
    """Notes of another day taken in on this one would have become a visit of today."""
    files = [tmp_path / name for name in ("20250227_081204.wav", "20250227_091500.wav")]
    other = tmp_path / "Recording 2025-02-28 at 09.15.wav"
    for file in (*files, other):
        file.write_bytes(b"not sent")
    at = tab()
    at.open("/record")
    day, sound = at.page.get_by_label("Day"), at.page.get_by_label("Sound files")
    today = day.input_value()
    sound.set_input_files([*files, other])  # of two days: neither is taken
    assert (day.input_value(), at.page.is_visible("#named-day")) == (today, False)
    sound.set_input_files(files)
    assert (day.input_value(), at.page.is_visible("#named-day")) == ("2025-02-27", True)
    assert at.page.inner_text(".day-said") == "27 Feb 2025"
    sound.set_input_files([*files, other])
    assert (day.input_value(), at.page.is_visible("#named-day")) == (today, False)
    at.open("/record")
    day.fill("2025-03-05")  # what a person chose stays
    sound.set_input_files(files)
    assert (day.input_value(), at.page.is_visible("#named-day")) == ("2025-03-05", False)


def test_the_program_gone_keeps_what_was_typed_and_goes_on(
    running: Running, tab: Callable[..., Tab]
) -> None:
    with running.database.reading() as session:
        entry_id = session.exec(select(Entry.id).where(Entry.state == EntryState.WAITING)).first()
    at = tab(allowed="net::ERR|htmx:")
    at.open(f"/entries/{entry_id}/fix?at=typed")
    at.page.locator("#typed").fill("cow seven oh one all good")
    at.settle()
    at.page.route("**/entries/**", lambda route: route.abort())
    at.page.route("**/hearing", lambda route: route.abort())
    at.page.locator("#typed").press("Enter")
    at.page.wait_for_selector("text=The program does not answer")
    assert at.page.locator("#typed").input_value() == "cow seven oh one all good"
    at.page.unroute("**/entries/**")
    at.page.unroute("**/hearing")
    at.page.wait_for_selector("text=The program is back", timeout=8000)
    at.page.locator("#typed").press("Enter")
    at.page.wait_for_selector("text=Cow 701")


def test_a_visit_at_the_wrong_farm_is_moved_and_moved_back(
    evening_half_done: Running, tab: Callable[..., Tab]
) -> None:
    at = tab()
    at.open(f"/visits/{evening_half_done.visit_id}")
    at.page.get_by_text("Wrong farm or day?").click()
    at.page.get_by_label("It was at").fill("Birch Farm")
    at.page.get_by_role("button", name="Move everything there").click()
    at.page.wait_for_selector("text=moved to Birch Farm")
    assert "Birch Farm" in at.page.inner_text("h1")
    at.open("/")
    assert "Birch Farm, 2 Mar 2026" in at.page.inner_text("main")
    assert "Alder Farm, 2 Mar 2026" not in at.page.inner_text("main")
    at.open(f"/visits/{evening_half_done.visit_id + 1}/queue")
    at.press("u")
    at.open("/")
    assert "Alder Farm, 2 Mar 2026" in at.page.inner_text("main")


def test_scripts_speak_the_language_of_the_page(tab: Callable[..., Tab]) -> None:
    """Their texts come along with the page; what is put in is put in."""
    at = tab()
    assert at.page.evaluate('_("Taking in %(at)s of %(total)s: %(name)s", {at: 1, total: 2, name: "a"})') == "Taking in 1 of 2: a"  # fmt: skip
    texts.speak("nl", Bracketed())
    try:
        at.open("/record")
        assert at.page.evaluate('_("Stop")') == "[Stop]"
        assert at.page.evaluate('_("the program answered %(status)s", {status: 500})') == "[the program answered 500]"  # fmt: skip
        assert at.page.inner_text("#counts") == "[0 sent, 0 waiting here]"
        assert at.page.inner_text("#record") == "[Start]"
    finally:
        texts.choose(texts.SOURCE)


class Bracketed(NullTranslations):
    """A language whose texts stand in brackets."""

    def gettext(self, message: str) -> str:
        return f"[{message}]"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)
