"""Talk around the chute is not a note."""

import numpy as np
import pytest

from dictate.hearing.chatter import is_chatter, likelihood_limit, without_chatter
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


@pytest.mark.parametrize(("noise", "limit"), [(3, -41), (5000, -54)])
def test_machines_soften_the_limit_for_talk(noise, limit):
    """The limit is that of quiet where the voice stands out, that of noise where it does not."""
    rng = np.random.default_rng(1)
    voice = rng.normal(0, 5000, 64_000) * (np.arange(64_000) % 16_000 < 8_000)
    sound = (voice + rng.normal(0, noise, 64_000)).astype(np.int16)

    assert likelihood_limit(sound, quiet=-41, noisy=-54) == limit
    assert likelihood_limit(sound, quiet=-np.inf, noisy=-np.inf) == -np.inf
    assert likelihood_limit(sound[:100], quiet=-41, noisy=-54) == -41
