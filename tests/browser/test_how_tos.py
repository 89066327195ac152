"""What the how-tos of the docs say can be done on the page, each done on it once by a person's clicks."""

import datetime as dt
import os
import shutil
import threading
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile
from sqlmodel import col, select

from dictate.decoder.model_files import bundled_model
from dictate.demo.script import demo_folder
from dictate.errors import DictateError
from dictate.store.backup import backups_in
from dictate.store.clips import LEFT_ASIDE
from dictate.store.record_tables import Action, Finding
from dictate.store.states import EntryState
from dictate.store.tables import Animal, Clip, Entry
from dictate.voice import evening, getting
from dictate.web.computer import icon_path
from dictate.web.desk import Desk
from dictate.web.phones import lan_address
from tests.deciding import confirm, reject
from tests.dictate.voice.making_wheels import lonely_pip, wheel_folder

from . import test_evening, test_pages, test_reading_aloud
from .conftest import Running, Tab
from .evening import FARM, TRIMMER
from .test_evening import entry_of
from .test_pages import evening_half_done  # noqa: F401 (a fixture)

HOW_TOS = Path(__file__).parents[2] / "docs" / "how-to"
NOT_ON_THE_PAGE = {
    "train-a-model.md": "needs graphics cards and PyTorch; no trimmer's evening",
    "translate.md": "a translator works on a file of texts, with a translator's tools",
    "use-postgresql.md": "a database server is set up by whoever runs it",
    "use-the-page.md": "is about the page as a whole: all tests of this folder",
}
FOUND_ELSEWHERE = {
    "evening-review.md": test_evening.test_the_whole_evening_by_keyboard,
    "sheets-follow-ups-and-bill.md": test_pages.test_the_evening_ends_with_sheet_bill_mail_and_files,
    "take-a-roster-in.md": test_pages.test_a_roster_is_matched_previewed_and_taken_in,
    "your-voice.md": test_reading_aloud.test_lines_are_read_skipped_and_gone_on_with,
}
_HERE: dict[str, Callable[..., None]] = {}


def how_to(name: str) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Note which how-to a test does on the page."""

    def noted(test: Callable[..., None]) -> Callable[..., None]:
        _HERE[name] = test
        return test

    return noted


def told(at: Tab, words: str, timeout: float = 15_000) -> None:
    at.page.wait_for_selector(f".notice >> text={words}", timeout=timeout)


@how_to("back-up.md")
def test_the_record_is_backed_up_checked_and_put_back(
    running: Running, tab: Callable[..., Tab], tmp_path: Path
) -> None:
    stick = tmp_path / "stick" / "dictate"
    at = tab()
    at.page.get_by_role("link", name="Settings").first.click()
    at.page.get_by_role("link", name="Keep it safe").click()
    at.page.get_by_label("Folder", exact=True).fill(str(stick))
    at.page.get_by_role("button", name="Back up now").click()
    told(at, "Backed up and proved whole")
    assert len(backups_in(stick)) == 1
    with running.database.reading() as session:
        before = len(session.exec(select(Entry).where(Entry.state == "waiting")).all())
        sounds = len(session.exec(select(Clip)).all())
    assert len(list((stick / "sounds").glob("??/*"))) == sounds
    at.open(f"/visits/{running.visit_id}/unmarked")
    at.page.get_by_role("button", name="Confirm those ticked").click()
    told(at, "together")
    at.open("/settings/safe")
    at.page.get_by_role("button", name="Check", exact=True).click()
    told(at, "This backup is whole")
    at.page.get_by_text("Put back …").click()
    at.page.get_by_role("button", name="Put this one back").click()
    told(at, "Put back")
    with running.database.reading() as session:
        assert len(session.exec(select(Entry).where(Entry.state == "waiting")).all()) == before
    assert list(running.settings.home.glob("before-restore-*.db"))
    files = tmp_path / "open"
    at.page.get_by_text("Without this program …").click()
    at.page.get_by_label("An empty folder").fill(str(files))
    at.page.get_by_role("button", name="Write as files").click()
    told(at, "Written")
    assert (files / "index.html").exists()
    at.page.get_by_role("button", name="Look it over").click()
    at.page.wait_for_selector(".findings >> text=database")


@how_to("privacy.md")
def test_sound_is_kept_for_so_long_and_forgotten_once_it_was_seen_what_goes(
    evening_half_done: Running,  # noqa: F811
    tab: Callable[..., Tab],
) -> None:
    running = evening_half_done
    at = tab()
    at.open("/settings/safe")
    at.page.get_by_label("Kept is").select_option("none")
    at.page.get_by_label("for so many days").fill("60")
    at.page.get_by_role("button", name="Keep", exact=True).click()
    told(at, "Kept")
    written = (running.settings.home / "settings.toml").read_text()
    assert 'keep = "none"' in written
    assert "keep_days = 60" in written
    kept = len(list(running.settings.sounds.glob("??/*")))
    at.page.get_by_label("Of visits before").fill(dt.date(2026, 3, 2).isoformat())
    at.page.get_by_role("button", name="Look what would go").click()
    at.page.wait_for_selector("text=Nothing would be forgotten")
    at.page.evaluate("document.querySelector('[name=before]').removeAttribute('max')")
    at.page.get_by_label("Of visits before").fill(dt.date(2026, 3, 3).isoformat())
    at.page.get_by_role("button", name="Look what would go").click()
    at.page.wait_for_selector("text=would lose their sound")
    assert len(list(running.settings.sounds.glob("??/*"))) == kept, "so far nothing went"
    at.page.get_by_role("button", name="Forget this sound").click()
    told(at, "Forgotten: the sound of")
    left = len(list(running.settings.sounds.glob("??/*")))
    assert 0 < left < kept, "notes that wait keep theirs"


@how_to("add-a-term.md")
def test_a_word_of_the_trimmers_own_is_taught_and_forgotten(
    running: Running, tab: Callable[..., Tab]
) -> None:
    at = tab(allowed="422")
    at.open("/settings/hearing")
    at.page.get_by_role("link", name="Teach a word of yours").click()
    at.page.get_by_label("As you say it").fill("soul elsie")
    at.page.get_by_label("It means").fill("sole ulcer")
    at.page.get_by_label("It sounds like").fill("sole ulcer")
    at.page.get_by_role("button", name="Teach it").click()
    told(at, "is known from now on. 1 waiting note reads differently now")
    at.open(f"/visits/{running.visit_id}/queue?entry={entry_of(running, '601').id}")
    assert "right hind outer sole ulcer, zone 4" in at.page.inner_text("main")
    at.open("/learnt")
    at.page.get_by_role("button", name="Forget").click()
    told(at, "Forgotten")
    at.page.get_by_label("As you say it").fill("plork")
    at.page.get_by_label("It means").fill("no such thing")
    at.page.get_by_role("button", name="Teach it").click()
    at.page.wait_for_selector("text=is no term")


@how_to("use-another-model.md")
def test_another_model_is_checked_and_used_and_left_again(
    running: Running, tab: Callable[..., Tab], tmp_path: Path
) -> None:
    other = tmp_path / "other"
    shutil.copytree(bundled_model(), other, copy_function=os.link)
    at = tab(allowed="422")
    at.open("/settings/hearing")
    assert "the model that comes with the program" in at.page.inner_text("main")
    at.page.get_by_text("Another model …").click()
    at.page.get_by_label("Folder of a Vosk model").fill(str(tmp_path))
    at.page.get_by_role("button", name="Check and use it").click()
    at.page.wait_for_selector(".fault")
    at.page.get_by_text("Another model …").click()
    at.page.get_by_label("Folder of a Vosk model").fill(str(other))
    at.page.get_by_role("button", name="Check and use it").click()
    told(at, "hears from the next note on")
    assert str(other) in (running.settings.home / "settings.toml").read_text()
    at.page.get_by_role("button", name="Use the model that comes").click()
    told(at, "The bundled model hears")
    assert "model =" not in (running.settings.home / "settings.toml").read_text()


@how_to("second-listener.md")
def test_a_second_listener_is_let_in_and_left_again(
    running: Running, tab: Callable[..., Tab], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whether it then hears well is tested with the listening itself; here its model is never loaded."""
    began: list[Path | None] = []
    monkeypatch.setattr(Desk, "listen_again", lambda desk: began.append(desk.settings.second_listener))  # fmt: skip
    monkeypatch.setattr("dictate.hearing.second_listener.find_spec", lambda _name: object())
    at = tab(allowed="422")
    at.open("/settings/hearing")
    at.page.get_by_label("Folder of a Whisper model").fill(str(tmp_path))
    at.page.get_by_role("button", name="Let it listen").click()
    at.page.wait_for_selector("text=model.bin missing")
    (tmp_path / "model.bin").write_bytes(b"weights")
    at.page.get_by_label("Folder of a Whisper model").fill(str(tmp_path))
    at.page.get_by_role("button", name="Let it listen").click()
    told(at, "heard again by it")
    at.page.get_by_role("button", name="No second listener").click()
    told(at, "No second listener hears")
    assert began == [tmp_path, None]


@how_to("measure-a-model.md")
def test_the_recogniser_is_measured_on_ones_own_sound(
    running: Running, tab: Callable[..., Tab], tmp_path: Path
) -> None:
    """Two clips of the demo day, heard by the bundled model in a process of its own."""
    clips = sorted(demo_folder().glob("*.opus"))[:2]
    for clip in clips:
        shutil.copy(clip, tmp_path)
    lines = ["utterance\ttext", *(f"{clip.name}\tcow four one two" for clip in clips)]
    (tmp_path / "transcripts.tsv").write_text("\n".join(lines) + "\n")
    at = tab(allowed="422")
    at.open("/settings/hearing")
    at.page.locator("#measure").get_by_label("Folder").fill(str(tmp_path / "none"))
    at.page.get_by_role("button", name="Measure").click()
    at.page.wait_for_selector("text=No such table")
    at.page.locator("#measure").get_by_label("Folder").fill(str(tmp_path))
    at.page.get_by_role("button", name="Measure").click()
    row = at.page.locator("#measured tbody tr")
    row.wait_for(timeout=90_000)
    assert "%" in row.inner_text()


@how_to("microphones.md")
def test_the_microphone_is_judged_live_and_from_a_recording(
    running: Running, tab: Callable[..., Tab], tmp_path: Path
) -> None:
    at = tab()
    at.open("/record")
    at.follow("Check the microphone")
    at.page.get_by_role("button", name="Listen for ten seconds").click()
    at.page.wait_for_selector("text=Speak now")
    at.page.wait_for_selector("#judged >> text=Your voice above the noise", timeout=25_000)
    silent = tmp_path / "silent.wav"
    soundfile.write(silent, np.zeros(16_000 * 3, dtype="int16"), 16_000)
    at.page.get_by_label("Or a recording of yours").set_input_files(silent)
    at.page.get_by_role("button", name="Judge it").click()
    at.page.wait_for_selector("text=Nothing at all is recorded")


@how_to("record-all-day.md")
def test_a_long_recording_is_taken_in_and_searched_for_notes(
    running: Running, tab: Callable[..., Tab], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Sixteen minutes in which nobody speaks: it is recognised as a whole day's, and no note is made."""
    searched = threading.Event()
    take = Desk.take_recording

    def taken(*given: Any, **more: Any) -> None:
        take(*given, **more)
        searched.set()

    monkeypatch.setattr(Desk, "take_recording", taken)
    day = tmp_path / "20260302_080000.flac"
    soundfile.write(day, np.random.default_rng(1).normal(0, 30, 16_000 * 960).astype("int16"), 16_000)  # fmt: skip
    at = tab()
    at.open("/")
    at.follow("Take recordings in")
    at.page.get_by_label("Sound files").set_input_files(day)
    at.page.get_by_role("button", name="Take them in").click()
    at.page.wait_for_selector("text=is searched for notes now", timeout=120_000)
    assert searched.wait(120)
    at.open("/")
    assert "to review" in at.page.inner_text("main"), "and the day before is as it was"


def test_the_voice_starts_and_stops_each_note(
    running: Running, tab: Callable[..., Tab], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The part "Record" of use-the-page.md; the pretended microphone speaks a second in every five."""
    monkeypatch.setattr("dictate.web.desk.Desk.hear_waiting_clips", lambda _desk: None)
    with running.database.reading() as session:
        before = {one.id for one in session.exec(select(Clip)).all()}
    at = tab(permissions=["microphone"])
    at.page.get_by_role("link", name="Record a note").click()
    at.page.get_by_label("Start and stop by voice").check()
    at.page.get_by_role("button", name="Start", exact=True).click()
    at.page.wait_for_selector("text=Recording a note", timeout=20_000)
    at.page.wait_for_selector("text=1 sent", timeout=20_000)
    at.page.get_by_role("button", name="Stop", exact=True).click()
    at.page.get_by_role("button", name="Start", exact=True).wait_for()
    with running.database.reading() as session:
        clips = [one for one in session.exec(select(Clip)).all() if one.id not in before]
    assert clips
    assert 1 < clips[0].seconds < 4


@how_to("take-in-an-archive.md")
def test_an_archive_is_taken_in_as_a_folder_with_its_folders(
    running: Running, tab: Callable[..., Tab], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Desk, "hear_waiting_clips", lambda _desk: None)
    for name in ("2025/a.wav", "2025/spring/b.wav"):
        path = tmp_path / "archive" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        noise = np.random.default_rng(len(name)).normal(0, 20, 16_000).astype("int16")
        soundfile.write(path, noise, 16_000)
    (tmp_path / "archive" / "list.txt").write_text("no sound")
    at = tab()
    at.open("/record#files")
    at.page.locator("#folder").set_input_files(tmp_path / "archive")
    at.page.get_by_role("button", name="Take them in").click()
    at.page.wait_for_selector("text=2 of 2 taken in", timeout=30_000)
    with running.database.reading() as session:
        names = set(session.exec(select(Clip.file_name)).all())
    assert {"a.wav", "b.wav"} <= names


@how_to("take-past-treatments-in.md")
def test_treatments_of_the_past_are_matched_taken_in_and_taken_back(
    running: Running, tab: Callable[..., Tab], tmp_path: Path
) -> None:
    file = tmp_path / "old.csv"
    file.write_text("Date,Cow,Lesion,Foot\n2025-03-03,412,plork,LH\n2025-03-03,101,sole ulcer,RH\n")
    at = tab()
    at.open("/farms/1")
    at.follow("Treatments of the past")
    at.look_at(file)
    at.page.wait_for_selector("text=1 line will not be taken in")
    at.page.get_by_label("Words of the list").fill("plork = digital dermatitis")
    at.page.get_by_role("button", name="Look again").click()
    at.page.wait_for_selector("text=2 rows would be added")
    at.page.get_by_role("button", name="Take them in").click()
    told(at, "2 rows added")
    with running.database.reading() as session:
        found = session.exec(select(Finding.lesion)).all()
    assert sorted(found) == ["digital dermatitis", "sole ulcer"]
    at.open("/past")
    at.page.get_by_role("button", name="Take it back").click()
    told(at, "Taken back: old.csv, 2 rows")
    with running.database.reading() as session:
        assert session.exec(select(Finding)).all() == []


def test_a_past_list_with_a_column_for_each_lesion_is_matched_on_the_page(
    running: Running, tab: Callable[..., Tab], tmp_path: Path
) -> None:
    """A heading that is not known is chosen and explained, and the day is said for all rows."""
    file = tmp_path / "sheet.csv"
    file.write_text("Cow,DD,Plork\n412,LH,\n101,,RH outer\n")
    at = tab()
    at.open("/past")
    at.look_at(file)
    at.page.get_by_label("Column Plork is").select_option("each")
    at.page.get_by_label("Words of the list").fill("Plork = sole ulcer")
    at.page.get_by_label("Day of all rows").fill("2025-03-03")
    at.page.get_by_role("button", name="Look again").click()
    at.page.wait_for_selector("text=2 rows would be added")
    at.page.get_by_role("button", name="Take them in").click()
    told(at, "2 rows added")
    with running.database.reading() as session:
        found = set(session.exec(select(Finding.lesion, Finding.foot)).all())
    assert {("digital dermatitis", "LH"), ("sole ulcer", "RH")} == found


def test_two_numbers_of_one_animal_are_shown_as_one_and_taken_apart_and_one_is_sold(
    evening_half_done: Running,  # noqa: F811
    tab: Callable[..., Tab],
) -> None:
    """The last part of sheets-follow-ups-and-bill.md."""
    running = evening_half_done
    one = entry_of(running, "118").animal_id
    at = tab()
    at.open(f"/animals/{one}")
    at.page.get_by_text("Sold, gone, or another number?").click()
    at.page.get_by_label("She is really cow").fill("126")
    at.page.get_by_role("button", name="Show both as one").click()
    told(at, "Cow 118 is cow 126")
    assert "sole ulcer" in at.page.inner_text("main")
    at.page.get_by_role("button", name="Take 118 apart again").click()
    told(at, "an animal of its own again")
    at.page.get_by_text("Sold, gone, or another number?").click()
    at.page.get_by_label("Cow 118 is").select_option("sold")
    at.page.get_by_role("button", name="Keep", exact=True).click()
    told(at, "Cow 118 is sold")
    with running.database.reading() as session:
        kept = session.exec(select(Animal).where(col(Animal.id) == one)).one()
    assert (kept.status, kept.merged_into_id) == ("sold", None)


def test_a_phone_is_let_in_from_the_page_by_the_code_shown(
    running: Running, tab: Callable[..., Tab], chromium: Any
) -> None:
    """The part "On a phone" of evening-review.md: no terminal is needed for it."""
    try:
        lan_address()
    except DictateError as error:
        pytest.skip(error.line)
    at = tab()
    at.open("/settings/phone")
    at.page.get_by_role("button", name="Let a phone in").click()
    at.page.wait_for_selector("figure.qr svg")
    code = at.page.inner_text(".code")
    base = at.page.locator("li strong").first.inner_text()
    phone = chromium.new_context(ignore_https_errors=True, viewport={"width": 390, "height": 844})
    page = phone.new_page()
    page.goto(base)
    assert "Pair this phone" in page.inner_text("h1")
    page.get_by_label("Code").fill(code)
    page.get_by_label("Your name").fill("Kim")
    page.get_by_role("button", name="Pair").click()
    page.wait_for_selector("text=Signed as Kim (phone)")
    page.goto(base.replace("/pair", "/settings/safe"))
    assert "for the computer itself" in page.inner_text("main")
    phone.close()
    at.page.reload()
    assert at.page.inner_text(".code") != code, "a code is good once"
    at.page.get_by_role("button", name="Let no phone in").click()
    told(at, "No phone is let in")


def test_talk_that_was_left_aside_is_a_note_after_all(
    running: Running, tab: Callable[..., Tab]
) -> None:
    """The list of record-all-day.md: heard words, sound, and back into the queue with one click."""
    with running.database.writing() as session:
        entry = session.get_one(Entry, entry_of(running, "101").id)
        entry.state, entry.reason = EntryState.REJECTED, LEFT_ASIDE
    at = tab()
    at.open(f"/visits/{running.visit_id}")
    at.page.get_by_role("link", name="1 piece of talk left aside").click()
    at.page.wait_for_selector("h1 >> text=Left aside")
    assert "one oh one" in at.page.inner_text("main")
    assert at.page.locator("audio").count() == 1
    at.page.get_by_role("button", name="It is a note").click()
    at.page.wait_for_selector("text=Nothing was left aside")
    assert entry_of(running, "101").state == EntryState.WAITING


def test_a_roster_is_taken_back(running: Running, tab: Callable[..., Tab], tmp_path: Path) -> None:
    """The last part of take-a-roster-in.md."""
    file = tmp_path / "herd.csv"
    file.write_text("number,lactation\n901,2\n902,3\n")
    at = tab()
    at.open("/roster")
    at.look_at(file)
    at.page.get_by_role("button", name="Take them in").click()
    at.page.wait_for_selector("text=2 added")
    at.open("/roster")
    at.page.get_by_role("button", name=f"Take the list of {FARM} back").click()
    told(at, "was taken back: 2 new animals removed")
    at.open("/animals?find=90")
    assert "901" not in at.page.inner_text("main")


def test_prices_of_the_settings_are_on_the_bill_and_the_calendar_comes_down(
    evening_half_done: Running,  # noqa: F811
    tab: Callable[..., Tab],
) -> None:
    """Two ulcers of the evening were blocked; parts of sheets-follow-ups-and-bill.md."""
    at = tab()
    at.open("/settings")
    at.page.get_by_label("block", exact=True).fill("12.50")
    at.page.get_by_label("Currency").fill("EUR")
    at.page.get_by_role("button", name="Keep", exact=True).click()
    told(at, "Kept")
    with evening_half_done.database.reading() as session:
        blocks = len(session.exec(select(Action).where(Action.kind == "block")).all())
    at.open(f"/bill/{evening_half_done.visit_id}")
    row = at.page.locator("tr", has_text="block").first.inner_text()
    assert "12.50" in row
    assert f"{Decimal('12.50') * blocks:.2f}" in row
    at.open("/follow-ups?span=all")
    with at.page.expect_download() as coming:
        at.page.get_by_role("link", name="Calendar file").click()
    calendar = coming.value.path().read_text()
    assert "SUMMARY:Alder Farm: look again" in calendar
    assert "118" in calendar


def test_the_whole_herd_picture_leads_to_its_annex_every_open_case_and_the_animal(
    evening_half_done: Running,  # noqa: F811
    tab: Callable[..., Tab],
) -> None:
    """The part "The herd" of use-the-page.md, there and back."""
    at = tab()
    at.open("/herd")
    at.page.get_by_label("Period").select_option("all")
    at.page.get_by_role("button", name="Show").click()
    at.page.wait_for_url("**/herd?*span=all*")
    at.settle()
    at.page.get_by_role("link", name="The whole picture").click()
    at.page.wait_for_selector("h1 >> text=Herd picture: Alder Farm")
    at.page.get_by_role("link", name="Annex: all figures").click()
    at.page.wait_for_selector("h2 >> text=Annex: all figures")
    assert "95 % interval" in at.page.inner_text("main")
    at.page.get_by_role("link", name="Herd picture").click()
    at.page.wait_for_selector("h2 >> text=Which animals")
    at.page.get_by_role("link", name="Back", exact=True).click()
    at.page.wait_for_selector("h1 >> text=Herd: Alder Farm")
    assert at.page.get_by_label("Period").input_value() == "all"
    at.open("/farms/1/herd/annex")
    at.page.get_by_role("link", name="Every open case of the farm").click()
    at.page.locator("tr", has_text="118").get_by_role("link", name="118", exact=True).click()
    at.page.wait_for_selector("h1 >> text=Cow 118")


def test_an_icon_is_put_on_the_desktop(
    running: Running, tab: Callable[..., Tab], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first lines of use-the-page.md."""
    monkeypatch.setattr("dictate.web.computer.platformdirs.user_desktop_path", lambda: tmp_path)
    at = tab()
    at.page.get_by_role("link", name="Settings").first.click()
    at.page.get_by_role("button", name="Put an icon on the desktop").click()
    told(at, "The icon is there")
    assert icon_path(desktop=tmp_path).is_file()


def test_what_learning_needs_is_got_on_the_page(
    tab: Callable[..., Tab], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The first lines of your-voice.md: one button, how far it is, and no new start after it."""
    lonely_pip(monkeypatch, tmp_path)
    wheel_folder(tmp_path / "wheels")
    monkeypatch.setattr(getting, "size_mb", lambda _settings: (1, 1))
    monkeypatch.setattr(
        getting, "_options", lambda _settings: ["--find-links", str(tmp_path / "wheels")]
    )
    at = tab()
    at.open("/voice")
    assert not at.page.get_by_role("button", name="Learn my voice now").count()
    at.page.get_by_role("button", name="Get what learning needs").click()
    at.page.wait_for_selector("text=What learning needs is being fetched")
    at.page.get_by_role("button", name="Learn my voice now").wait_for(timeout=60_000)


def test_the_voice_is_learnt_from_confirmed_notes(
    running: Running, tab: Callable[..., Tab], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The part "From your evenings" of your-voice.md, up to the program of its own that learns."""
    began: list[str] = []
    monkeypatch.setattr(evening, "can_learn", lambda: True)
    monkeypatch.setattr(evening, "start", lambda settings, *_: began.append(settings.trimmer))
    with running.database.writing() as session:
        waits = session.exec(select(Entry).where(Entry.state == EntryState.WAITING)).all()
        for one in waits[1:]:
            if one.content["animal"]:
                confirm(session, one.id, by=TRIMMER, sure=True)
            else:
                reject(session, one.id, "noise only", by=TRIMMER)
    at = tab()
    at.open(f"/visits/{running.visit_id}/queue")
    assert not at.page.get_by_role("button", name="Learn my voice from these notes").count()
    at.press("x")
    at.press("1")
    at.page.wait_for_selector("text=Everything of this visit is reviewed")
    at.press("v")
    told(at, "Your voice is being learnt")
    assert began == [TRIMMER]


def test_every_how_to_is_done_on_the_page_or_says_why_not() -> None:
    done = {*NOT_ON_THE_PAGE, *FOUND_ELSEWHERE, *_HERE}
    assert {path.name for path in HOW_TOS.glob("*.md")} == done
