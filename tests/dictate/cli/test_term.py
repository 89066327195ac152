"""Terms taught by command and mis-hearings learnt in review are one list, used wherever notes are read."""

import json

import pytest
from sqlmodel import select

from dictate.review.learning import teach
from dictate.settings import load_settings
from dictate.store.database import open_database
from dictate.store.tables import Entry, Trimmer


def lesions() -> list[str]:
    with open_database(load_settings().database_url) as database, database.reading() as session:
        entries = session.exec(select(Entry).order_by(Entry.id)).all()
        return [one["lesion"] for entry in entries for one in entry.content["findings"]]


@pytest.fixture
def foot_rot(dictate, clip):
    """One note waits, whose last two words mean nothing yet."""
    path = clip("one.opus", "cow four twelve left hind outer banjo heel")
    assert dictate("take-in", path, "--date", "2026-03-02").code == 0
    assert lesions() == []
    return path


def test_a_taught_term_reads_waiting_and_later_notes_and_is_forgotten(dictate, foot_rot) -> None:
    said = dictate(
        "term", "add", "banjo heel", "--sounds-like", "claw heel", "--means", "heel horn erosion"
    )
    assert "1 waiting note reads differently now" in said.err
    assert lesions() == ["heel horn erosion"]
    assert (
        "banjo heel, sounds like claw heel, means heel horn erosion (Robin Field)"
        in dictate("term", "list").out
    )
    assert dictate("term", "forget", "banjo heel").code == 0
    assert lesions() == []
    assert dictate("term", "forget", "banjo heel").code != 0


def test_what_review_learnt_is_listed_heard_and_forgotten_too(dictate, foot_rot) -> None:
    """`hear` only reads the record that lies here, and makes none."""
    with open_database(load_settings().database_url) as database, database.writing() as session:
        trimmer = session.exec(select(Trimmer.id)).one()
        teach(session, trimmer, "banjo heel", "heel horn erosion", by="Kim")
    heard = json.loads(dictate("hear", foot_rot, "--json").out)
    assert [one["lesion"] for one in heard["entries"][0]["findings"]] == ["heel horn erosion"]
    assert "(Robin Field, learnt in review)" in dictate("term", "list").out
    dictate("term", "add", "banjo heel", "--sounds-like", "claw heel", "--means", "foul")
    assert "learnt in review" not in dictate("term", "list").out
    assert lesions() == ["interdigital phlegmon"]


def test_hearing_makes_no_record(dictate, clip, home) -> None:
    assert dictate("hear", clip("one.opus", "cow four twelve all good"), "--json").code == 0
    assert not (home / "record.db").exists()
