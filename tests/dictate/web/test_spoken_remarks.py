"""A spoken remark on its way from the queue to the sheet: sound until somebody types it."""

import datetime as dt

import pytest

from dictate.entry.values import EntryValues
from dictate.entry.wording import say_entry
from dictate.store.clips import entry_by_id
from dictate.store.record_queries import remark_rows
from tests.deciding import amend, confirm, retype

SPOKEN = {"start": 2.0, "end": 6.0, "heard": "she two"}
ENTRY = {
    "animal": "412",
    "spoken_remark": SPOKEN,
    "findings": [{"lesion": "sole ulcer", "foot": "LH"}],
    "marks": ["remark-spoken"],
    "mark_details": [{"id": "remark-spoken", "what": "a remark of 4 s was spoken"}],
}
HEARD = "cow four twelve left hind sole ulcer remark she two"


@pytest.fixture
def entry_id(queue) -> int:
    return queue(ENTRY, date=dt.date(2026, 3, 2), heard=HEARD)[0]


def test_the_sheet_says_that_a_remark_was_spoken(database, entry_id) -> None:
    """What the recogniser made of it never enters the record."""
    with database.writing() as session:
        confirm(session, entry_id, by="Robin Field")

        assert ["spoken remark"] == [row.text for row in remark_rows(session)]


def test_typed_it_is_text_everywhere(database, entry_id) -> None:
    """Also when it is typed after the entry was confirmed; the sound stays with it."""
    with database.writing() as session:
        confirm(session, entry_id, by="Robin Field")
        done = amend(session, entry_id, {"remark": "two men next time"}, by="Robin Field")

        assert ["two men next time"] == [row.text for row in remark_rows(session)]
        assert SPOKEN == done.content["spoken_remark"]
        assert [] == done.content["marks"]


def test_the_card_plays_it(browser, database, entry_id) -> None:
    """The stretch of the remark is one click away, and its length is told."""
    with database.reading() as session:
        visit_id = entry_by_id(session, entry_id).visit_id
        sentence = say_entry(EntryValues.model_validate(entry_by_id(session, entry_id).content))

    page = browser.get(f"/visits/{visit_id}/queue?entry={entry_id}").text

    assert 'data-from="2.0"' in page
    assert "spoken, 4 s" in page
    assert sentence.endswith("spoken remark")


def test_putting_another_word_right_keeps_it_spoken(database, entry_id) -> None:
    """The misheard words of the remark stand in the line that is typed, and are not taken for it."""
    text = HEARD.replace("sole", "toe")
    with database.writing() as session:
        done = retype(session, entry_id, text, by="Robin Field")

        assert "toe ulcer" == done.content["findings"][0]["lesion"]
        assert (None, SPOKEN) == (done.content["remark"], done.content["spoken_remark"])
        assert ["remark-spoken"] == done.content["marks"]
