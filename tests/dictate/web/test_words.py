"""Putting words right on the page, without a browser: everything that is needed stands in the address."""

import html
import re

import pytest
from sqlmodel import select

from dictate.store.clips import entry_by_id
from dictate.store.tables import Animal, Visit

from .conftest import Browser

HEARD = "cow four twelve left hind outer soul elsa zone four"
MEANT = "cow four twelve left hind outer sole ulcer zone four"
DOUBTED = {"animal": "412", "marks": ["x"], "mark_details": [{"id": "x", "what": "a doubt"}]}


@pytest.fixture
def entry(queue) -> int:
    """An entry whose note was misheard."""
    return queue(DOUBTED, heard=HEARD)[0]


def links(page: str) -> dict[str, str]:
    """Key to address."""
    found = re.findall(r'href="([^"]+)" data-key="([^"]+)"', page)
    return {key: html.unescape(path) for path, key in found}


def test_a_choice_changes_the_words_and_shows_how_they_then_read(browser: Browser, entry) -> None:
    start = browser.get(f"/entries/{entry}/words?at=6&find=false").text
    assert "Instead of “soul”" in start
    found = re.search(r'href="([^"]+)"[^>]*><kbd[^>]*>\d</kbd> sole ulcer <', start)
    assert found, "the term that sounds like both words"
    after = browser.get(html.unescape(found.group(1))).text
    assert "412: left hind outer sole ulcer, zone 4" in after
    assert "Confirm" in after


def test_moving_making_room_and_taking_out_are_links(browser: Browser, entry) -> None:
    keys = links(browser.get(f"/entries/{entry}/words?at=6&find=false").text)
    assert "Instead of “outer”" in browser.get(keys["ArrowLeft"]).text
    assert "Instead of “elsa”" in browser.get(keys["ArrowRight"]).text
    assert "Missing before “soul”" in browser.get(keys[" "]).text
    assert "Missing at the end" in browser.get(keys["End"]).text
    assert "outer+elsa" in browser.get(keys["Delete"]).text


def test_letters_can_be_typed_and_put_in_without_scripts(browser: Browser, entry) -> None:
    place = {"text": HEARD, "at": 7, "typed": "ulcer", "find": "false"}
    shown = browser.get(f"/entries/{entry}/words/offered", params=place).text
    assert "Begins with “ulcer”" in shown
    assert "<html" not in shown
    taken = browser.get(f"/entries/{entry}/words", params=place | {"take": "true"}).text
    assert "soul ulcer zone four" in html.unescape(taken)


def test_words_are_confirmed_as_they_were_shown_and_undone_together(
    browser: Browser, entry, database
) -> None:
    form = {"version": 1, "text": MEANT, "confirm": "true"}
    assert browser.post(f"/entries/{entry}/words", form).status_code == 303
    with database.reading() as session:
        done = entry_by_id(session, entry)
        assert done.state == "confirmed"
        assert done.content["findings"][0]["lesion"] == "sole ulcer"
    assert "Confirmed: 412: left hind outer sole ulcer" in browser.get("/visits/1/queue").text
    browser.post("/undo")
    with database.reading() as session:
        assert entry_by_id(session, entry).state == "waiting"
        assert entry_by_id(session, entry).content["findings"] == []


def test_an_old_version_is_refused(browser: Browser, entry) -> None:
    form = {"version": 7, "text": MEANT, "confirm": "true"}
    answer = browser.post(f"/entries/{entry}/words", form)
    assert answer.headers["location"] == f"/visits/1/queue?entry={entry}"
    assert "changed meanwhile" in browser.get(answer.headers["location"]).text


@pytest.mark.parametrize("asked", ["at=-1", "at=x", "room=perhaps", "text=" + "a" * 4001])
def test_a_place_that_is_none_is_refused(browser: Browser, entry, asked: str) -> None:
    assert browser.get(f"/entries/{entry}/words?{asked}").status_code == 422


def test_a_place_behind_the_end_is_the_end(browser: Browser, entry) -> None:
    assert "Missing at the end" in browser.get(f"/entries/{entry}/words?at=999&find=false").text


def test_a_digit_and_a_letter_confirm_the_number_only_where_nothing_else_is_in_doubt(
    browser: Browser, queue, database
) -> None:
    first, second = queue(
        {"animal": "9", "marks": ["animal-not-on-roster"]},
        {"animal": "9", "marks": ["animal-not-on-roster", "leftover-words"]},
    )
    with database.writing() as session:
        farm = session.exec(select(Visit.farm_id)).one()
        session.add(Animal(farm_id=farm, number="511", on_roster=True))
    assert "confirm as cow 511" not in browser.get(f"/entries/{first}/number").text
    assert "confirm as cow 511" in browser.get(f"/entries/{first}/number?begins=5").text
    assert "confirm as cow 511" not in browser.get(f"/entries/{second}/number?begins=5").text
    browser.post(f"/entries/{first}/number", {"version": 1, "number": "511"})
    with database.reading() as session:
        done = entry_by_id(session, first)
        assert (done.state, done.content["animal"]) == ("confirmed", "511")


def test_words_that_make_a_new_animal_are_kept_and_take_another_key(
    browser: Browser, database, entry
) -> None:
    """Confirming words may not bring an animal into the record that the roster lacks."""
    with database.writing() as session:
        farm_id = session.exec(select(Visit.farm_id)).first()
        session.add(Animal(farm_id=farm_id, number="412", on_roster=True))
    form = {"version": 1, "text": "cow nine nine nine all good", "confirm": "true"}
    answer = browser.post(f"/entries/{entry}/words", form)
    assert answer.headers["location"].startswith(f"/visits/1/queue?entry={entry}")
    card = browser.get(answer.headers["location"]).text
    assert "The words are kept" in card
    assert "Cow 999 is new: confirm" in card
    with database.reading() as session:
        assert entry_by_id(session, entry).state == "waiting"
        assert entry_by_id(session, entry).content["animal"] == "999"
