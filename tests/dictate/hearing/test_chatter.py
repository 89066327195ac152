"""Talk around the chute is not a note."""

import numpy as np
import pytest

from dictate.hearing.chatter import is_chatter, loudness_of_machines, without_chatter
from grammar import Word, parse_best


def words(text):
    return tuple(Word(text=word) for word in text.split())


@pytest.mark.parametrize(
    ("text", "chatter"),
    [
        ("[unk] [unk] [unk] ulcer", True),
        ("the other [unk] will [unk] there", True),
        ("cow four twelve [unk] [unk] sole ulcer", False),  # names an animal
        ("left hind outer sole ulcer [unk] zone four", False),  # one unknown word
        ("left hind sole ulcer", False),
        ("", False),
    ],
)
def test_mostly_other_words_are_chatter(text, chatter):
    """Several unknown words and no animal: talk."""
    assert is_chatter(words(text)) is chatter


def test_nothing_is_read_from_chatter():
    """A lesion picked out of talk makes no entry."""
    hearings = without_chatter([words("[unk] [unk] and ulcer"), words("sole ulcer")])

    assert parse_best(hearings).entries == ()


def test_notes_are_left_alone():
    """A note and its alternatives go on unchanged."""
    hearings = [words("left hind sole ulcer"), words("left hind toe ulcer")]

    assert without_chatter(hearings) == hearings


@pytest.mark.parametrize(("noise", "loudness"), [(3, 0), (5000, 1)])
def test_machines_are_judged_by_how_far_the_voice_stands_out(noise, loudness):
    """A voice alone, and a voice under machines as loud as it."""
    rng = np.random.default_rng(1)
    voice = rng.normal(0, 5000, 64_000) * (np.arange(64_000) % 16_000 < 8_000)
    sound = (voice + rng.normal(0, noise, 64_000)).astype(np.int16)

    assert loudness_of_machines(sound) == loudness
    assert loudness_of_machines(sound[:100]) == 0
