"""Talk around the chute is not a note, and only what is doubted is left unread."""

import numpy as np
import pytest

from dictate.hearing import Fit
from dictate.hearing.confidences import loudness_of_machines
from dictate.hearing.hear_files import marked_entries
from dictate.hearing.talk import MAY_BE_TALK, chance_of_talk, judge, usual_fit
from grammar import Word, parse_best

WELL = {"fit": -2.0, "agreement": 6.5}
"""As notes of the demo's voices fit."""
BADLY = {"fit": -32.0, "agreement": -3.0}
"""As read English fits: the middle of LibriSpeech's (docs/explanation/hearing.md)."""


def spoken(*stretches):
    """Words in stretches, a word every half second, a pause of two seconds between stretches."""
    words, fits, at = [], [], 0.0
    for text, fit in stretches:
        start = at
        for word in text.split():
            words.append(Word(text=word, start=at, end=at + 0.4, confidence=0.9))
            at += 0.5
        fits.append(Fit(start=start, end=at - 0.1, **fit))
        at += 2.0
    return tuple(words), fits


def read(*stretches, usual=0.0):
    words, fits = spoken(*stretches)
    judged = judge([words], fits, usual=usual)
    return judged, marked_entries(parse_best(judged.hearings), judged)


def untimed(text):
    return tuple(Word(text=word) for word in text.split())


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("[unk] [unk] [unk] ulcer", True),
        ("cow four twelve [unk] [unk] sole ulcer", False),  # names an animal
        ("left hind outer sole ulcer [unk] zone four", False),  # one unknown word
        ("left hind sole ulcer", False),
    ],
)
def test_of_an_engine_that_cannot_tell_only_unknown_words_count(text, left):
    """Words that mostly are none of the trade, and no animal: talk."""
    assert any(talk.left for talk in judge([untimed(text)]).talk) is left


def test_nothing_said_is_no_talk():
    """No words, no doubt."""
    assert judge([()]).talk == ()
    assert judge([]).hearings == ()


def test_trade_words_forced_upon_talk_make_no_entry_but_stay():
    """Nothing is claimed, and the words are there to be taken as a note after all."""
    judged, entries = read(("nothing to see the outer", BADLY))

    assert entries == []
    assert judged.aside
    assert judged.talk[0].text == "nothing to see the outer"
    assert [word.text for word in judged.as_heard(judged.hearings[0])][:2] == ["nothing", "to"]


def test_a_note_between_talk_is_read_and_marked():
    """Only the stretch that is talk is left out; the note beside it says so."""
    judged, (entry,) = read(
        ("nothing to see the outer", BADLY), ("cow four twelve left hind sole ulcer", WELL)
    )

    assert entry["animal"] == "412"
    assert entry["findings"][0]["lesion"] == "sole ulcer"
    assert entry["marks"][-1] == MAY_BE_TALK
    assert "nothing to see the outer" in entry["mark_details"][-1]["what"]
    assert not judged.aside


def test_a_note_that_names_an_animal_is_never_put_aside():
    """However badly it fits, somebody has to look at it."""
    judged, _ = read(("cow four twelve the outer", BADLY))

    assert judged.talk[0].left
    assert not judged.aside


def test_a_doubtful_stretch_is_read_with_a_mark():
    """Between surely a note and surely talk the words count, and the entry bears the doubt."""
    _, (entry,) = read(("cow four twelve left hind sole ulcer", {"fit": -25.0, "agreement": 2.0}))

    assert entry["findings"]
    assert MAY_BE_TALK in entry["marks"]


def test_the_same_fit_is_a_note_in_one_voice_and_talk_in_another():
    """What counts is how far a stretch lies below the speaker's own notes."""
    fit = {"fit": -25.0, "agreement": 2.5}
    theirs = usual_fit([Fit(start=0, end=1, fit=-22.0, agreement=5.0)] * 40)

    assert -22 < theirs < -18
    assert read(("left hind sole ulcer", fit))[1] == []
    assert read(("left hind sole ulcer", fit), usual=theirs)[1][0]["findings"]


def test_a_few_notes_say_little_of_a_speaker():
    """One bad note does not make the next talk a note; noise and doubt say nothing."""
    one = Fit(start=0, end=1, fit=-30.0, agreement=5.0)

    assert usual_fit([]) == 0
    assert usual_fit([one]) > -6
    assert usual_fit([Fit(start=0, end=1, fit=-30.0, agreement=1.0)] * 50) == 0
    assert usual_fit([Fit(start=0, end=1, fit=-30.0, agreement=5.0, machines=0.9)] * 50) == 0


def test_less_agreement_and_a_worse_fit_make_talk_likelier():
    """The curve goes the way it must."""
    words = untimed("left hind sole ulcer")

    def chance(**how):
        return chance_of_talk(
            words, Fit(**{"start": 0, "end": 2, "fit": -15, "agreement": 2} | how)
        )

    assert chance(fit=-30) > chance() > chance(fit=-5)
    assert chance(agreement=-1) > chance() > chance(agreement=5)
    assert chance(machines=1.0) < chance()


@pytest.mark.parametrize(("noise", "loudness"), [(3, 0), (5000, 1)])
def test_machines_are_judged_by_how_far_the_voice_stands_out(noise, loudness):
    """A voice alone, and a voice under machines as loud as it."""
    rng = np.random.default_rng(1)
    voice = rng.normal(0, 5000, 64_000) * (np.arange(64_000) % 16_000 < 8_000)
    sound = (voice + rng.normal(0, noise, 64_000)).astype(np.int16)

    assert loudness_of_machines(sound) == loudness
    assert loudness_of_machines(sound[:100]) == 0
