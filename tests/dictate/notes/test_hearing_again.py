"""Doubtful notes are heard again, and nobody's decision is overtaken by it."""

import time

import pytest
from sqlmodel import col, select

from dictate.errors import ModelError
from dictate.notes.hearing_again import hear_again, next_doubtful
from dictate.review.showing import card_of
from dictate.review.waiting import waiting
from dictate.store.tables import Note
from dictate.web.background import ListeningAgain
from dictate.written import hash_file
from tests.deciding import amend
from tests.fake_engine import FakeEngine

DOUBTFUL = "cow four twelve left hind ulcer banana tractor"
CLEAR = "cow eighty eight left hind sole ulcer"
SECOND = "cow four twelve left hind toe ulcer"


@pytest.fixture
def doubtful(clip, run) -> FakeEngine:
    """Two notes, one of them doubtful; the second listener that will hear it."""
    path = clip("a.opus", DOUBTFUL)
    run(path, clip("b.opus", CLEAR))
    return FakeEngine({hash_file(path): SECOND})


def test_the_doubtful_note_is_heard_again_once(database, settings, doubtful) -> None:
    """It is surer of a whole note, so its reading stands; the first's words are one key away."""
    with database.reading() as session:
        note = next_doubtful(session)

    assert hear_again(database, settings, doubtful, note.id)

    with database.reading() as session:
        assert next_doubtful(session) is None
        entry = next(one for one in waiting(session) if one.clip == "a.opus")
        assert ("first-listener",) == entry.values.marks
        assert "toe ulcer" == entry.values.findings[0].lesion
        assert DOUBTFUL == entry.heard
        card = card_of(session, entry.id, settings=settings)
        first = card.choices[0]
        assert ("1", "text", DOUBTFUL) == (first.key, first.path, first.value)
        assert SECOND.split() == [word.text for word in card.words]
        kept = session.exec(select(Note.again).where(Note.id == note.id)).one()
        assert SECOND == " ".join(word["text"] for word in kept["words"])


def test_words_that_make_no_whole_note_are_offered(database, settings, clip, run) -> None:
    """The first reading stands, marked; the second's words are the first choice."""
    path = clip("a.opus", DOUBTFUL)
    run(path)
    second = FakeEngine({hash_file(path): "left hind toe ulcer on that cow"})
    with database.reading() as session:
        note = next_doubtful(session)

    hear_again(database, settings, second, note.id)

    with database.reading() as session:
        (entry,) = waiting(session)
        first = card_of(session, entry.id, settings=settings).choices[0]
    assert "412" == entry.values.animal
    assert ("1", "text") == (first.key, first.path)
    assert first.label.startswith("second listener")


def test_what_a_person_looks_at_is_left_alone(database, settings, doubtful) -> None:
    """The card does not change under their hands, not even when they open it meanwhile."""
    with database.reading() as session:
        note = next_doubtful(session)
        entry = next(one for one in waiting(session) if one.clip == "a.opus")
        assert next_doubtful(session, besides=[entry.id]) is None

    hear_again(database, settings, doubtful, note.id, looked_at=lambda: [entry.id])

    with database.reading() as session:
        after = next(one for one in waiting(session) if one.clip == "a.opus")
    assert (entry.version, entry.values) == (after.version, after.values)


def test_what_a_person_changed_is_left_alone(database, settings, doubtful) -> None:
    """Whatever the second listener heard."""
    with database.writing() as session:
        note = next_doubtful(session)
        entry = next(one for one in waiting(session) if one.clip == "a.opus")
        amend(session, entry.id, {"animal": "7"}, by="Robin Field")
        assert next_doubtful(session) is None

    hear_again(database, settings, doubtful, note.id)

    with database.reading() as session:
        after = next(one for one in waiting(session) if one.clip == "a.opus")
    assert "7" == after.values.animal


def test_a_note_whose_sound_is_gone_is_not_tried_for_ever(
    database, settings, doubtful, home
) -> None:
    """It was forgotten, or the folder was cleared."""
    for path in settings.sounds.rglob("*.opus"):
        path.unlink()
    with database.reading() as session:
        note = next_doubtful(session)

    assert not hear_again(database, settings, doubtful, note.id)

    with database.reading() as session:
        assert next_doubtful(session) is None


def test_the_page_has_doubtful_notes_heard_behind_it(database, settings, doubtful) -> None:
    """One after the other, until it is stopped; the engine is opened when it is needed."""
    opened = []

    def open_second() -> FakeEngine:
        opened.append(1)
        return doubtful

    listening = ListeningAgain(database, settings, open_second, frozenset)
    listening.start()
    for _ in range(200):
        with database.reading() as session:
            if session.exec(select(Note).where(col(Note.again).is_not(None))).first():
                break
        time.sleep(0.1)
    listening.stop()
    listening.join(timeout=30)

    assert opened == [1]
    with database.reading() as session:
        assert next_doubtful(session) is None


def test_a_listener_that_cannot_be_opened_ends_quietly(database, settings, doubtful) -> None:
    """The page goes on without it."""

    def open_second() -> FakeEngine:
        raise ModelError("not a faster-whisper model")

    listening = ListeningAgain(database, settings, open_second, frozenset)
    listening.run()

    with database.reading() as session:
        assert next_doubtful(session) is not None
