"""Talk in a whole day's sound is left aside, never lost; a clip made on purpose always waits."""

from pathlib import Path

import pytest

from dictate.errors import ConflictError
from dictate.review.showing import card_of
from dictate.review.waiting import left_aside, waiting
from dictate.sound import RATE, read_sound
from dictate.sound.cut_notes import write_note
from tests.deciding import bring_back, retype, undo

NOTE = "cow four twelve left hind outer sole ulcer"
TALK = "[unk] [unk] the other [unk]"


@pytest.fixture
def cut(clip, tmp_path: Path):
    """A clip as it is cut out of a long recording; `says` is what is heard in it."""

    def make(name: str, says: str) -> Path:
        path = tmp_path / "cut" / name
        path.parent.mkdir(exist_ok=True)
        samples = read_sound(clip(f"source of {name}.opus", "")).samples
        write_note(
            path, samples[: len(samples) // RATE * RATE], {"cut_from": "20260302_080000.wav"}
        )
        clip.said[read_sound(path).sha256] = says
        return path

    return make


def test_talk_in_a_days_sound_asks_nobody(database, cut, run):
    """The note waits, the talk does not; it is listed with its words."""
    run(cut("20260302_080100.flac", NOTE), cut("20260302_080200.flac", TALK))

    with database.reading() as session:
        assert ["412"] == [entry.values.animal for entry in waiting(session)]
        (aside,) = left_aside(session)
    assert (TALK, "20260302_080200.flac") == (aside.heard, aside.clip)
    assert aside.seconds > 1


def test_a_clip_made_on_purpose_waits_with_a_mark(database, clip, run):
    """Whoever pressed a button wanted a note."""
    run(clip("a.opus", TALK))

    with database.reading() as session:
        assert [] == left_aside(session)
        (entry,) = waiting(session)
    assert ("may-be-talk",) == entry.values.marks
    assert TALK == entry.heard


def test_talk_that_names_an_animal_is_looked_at(database, cut, run):
    """The recogniser may have lost the rest of a note."""
    run(cut("20260302_080100.flac", f"{TALK} cow [unk]"))

    with database.reading() as session:
        assert [] == left_aside(session)
        assert 1 == len(waiting(session))


def test_talk_does_not_change_the_animal_that_is_carried_over(database, cut, run):
    """The note after the talk goes on with the animal before it, marked as carried."""
    run(
        cut("20260302_080100.flac", NOTE),
        cut("20260302_080200.flac", TALK),
        cut("20260302_080300.flac", "right hind clean"),
    )

    with database.reading() as session:
        assert ["412", "412"] == [entry.values.animal for entry in waiting(session)]
        assert 1 == len(left_aside(session))


def test_what_was_left_aside_comes_back_and_is_taken_as_a_note(database, settings, cut, run):
    """Brought back it waits, and its words are one key away; taking that back puts it aside again."""
    run(cut("20260302_080100.flac", "[unk] [unk] [unk] left hind sole ulcer"))

    with database.writing() as session:
        (aside,) = left_aside(session)
        bring_back(session, aside.id, by="Robin Field", version=aside.version)
    with database.reading() as session:
        assert [] == left_aside(session)
        card = card_of(session, aside.id)
    (choice,) = [one for one in card.choices if one.path == "text"]
    assert choice.value == "left hind sole ulcer"

    with database.writing() as session:
        typed = retype(session, aside.id, choice.value, by="Robin Field")
        assert "sole ulcer" == typed.content["findings"][0]["lesion"]
        undo(session, aside.id, by="Robin Field")
        undo(session, aside.id, by="Robin Field")
        assert [aside.id] == [one.id for one in left_aside(session)]


def test_only_what_was_left_aside_comes_back(database, clip, run):
    """An entry that waits is no talk."""
    run(clip("a.opus", NOTE))

    with database.writing() as session, pytest.raises(ConflictError, match="not left aside"):
        bring_back(session, waiting(session)[0].id, by="Robin Field")


def test_running_again_leaves_it_where_it_is(database, cut, run):
    """What was brought back is not left aside a second time."""
    path = cut("20260302_080100.flac", TALK)
    run(path)
    with database.writing() as session:
        bring_back(session, left_aside(session)[0].id, by="Robin Field")

    run(path)
    run(cut("20260302_080000.flac", NOTE))

    with database.reading() as session:
        assert [] == left_aside(session)
        assert 2 == len(waiting(session))
