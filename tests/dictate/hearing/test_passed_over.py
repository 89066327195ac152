"""Words that came to nothing are doubted where another hearing has something to record in their place."""

import pytest

from dictate.hearing.engine import Fit
from dictate.hearing.hear_files import marked_entries
from dictate.hearing.passed_over import UNSURE_WORD
from dictate.hearing.talk import judge
from dictate.hearing.unsure import read_best
from grammar import Word

LEFT = "cow four twelve right hind outer half inch screw left wrap off in three days"
WRAPPED = LEFT.replace("left", "wrapped")


def words_of(text, **sure):
    """Words with confidences: those named are less sure than the rest."""
    return tuple(Word(text=one, confidence=sure.get(one, 0.99)) for one in text.split())


def marks_of(*hearings, again=()):
    fits = [Fit(start=0.0, end=10.0, fit=0.0, agreement=4.0)]
    judged = judge(hearings, fits, again=again)
    reading, judged = read_best(judged)
    entries = marked_entries(reading, judged)
    return [mark for one in entries for mark in one["mark_details"] if mark["id"] == UNSURE_WORD]


@pytest.mark.parametrize("sure", [0.3, 0.6, 0.75])
def test_a_lost_wrap_is_doubted_on_the_word_that_stands_in_its_place(sure):
    """The wrap is in no slot: only the word can bear the mark, and the other words are offered."""
    (mark,) = marks_of(words_of(LEFT, left=sure), words_of(WRAPPED))
    assert LEFT.split()[mark["first"] : mark["last"]] == ["left"]
    assert list(mark["candidates"]) == ["wrapped"]


def test_both_likeliest_others_are_offered_at_one_place():
    """Each has something else to record there."""
    vet = LEFT.replace("left", "vet")
    (mark,) = marks_of(words_of(LEFT, left=0.5), words_of(WRAPPED), words_of(vet))
    assert list(mark["candidates"]) == ["wrapped", "vet"]


def test_a_word_that_was_heard_surely_is_not_doubted():
    """Other hearings differ somewhere in nearly every note."""
    assert marks_of(words_of(LEFT), words_of(WRAPPED)) == []


@pytest.mark.parametrize(
    ("heard", "other", "unsure"),
    [
        (LEFT, LEFT.replace("left", "let"), "left"),  # nothing more to record
        ("cow four twelve left hind sole ulcer", "cow four twelve left hind toe ulcer", "sole"),
        ("cow four twelve left hind banana clean", "cow four twelve left hind severe ulcer", "banana"),
        (LEFT, LEFT.replace("left", "[unk]"), "left"),
    ],
)  # fmt: skip
def test_what_is_asked_already_or_records_nothing_more_is_not_asked(heard, other, unsure):
    """A slot's own certainty, or words left over, tell of the other ones."""
    assert marks_of(words_of(heard, **{unsure: 0.3}), words_of(other)) == []


def test_what_a_second_listener_did_not_hear_either_is_not_asked():
    """Two of three heard no wrap; where it heard one the word is doubted."""
    hearings = words_of(LEFT, left=0.6), words_of(WRAPPED)
    assert marks_of(*hearings, again=words_of(LEFT)) == []
    assert (
        len(marks_of(*hearings, again=words_of(WRAPPED, **dict.fromkeys(WRAPPED.split(), 0.6))))
        == 1
    )


def test_hearings_without_confidences_are_not_doubted():
    """Typed words, and engines that give none."""
    plain = [tuple(Word(text=one) for one in text.split()) for text in (LEFT, WRAPPED)]
    assert marks_of(*plain) == []
