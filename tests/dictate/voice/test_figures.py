"""Numbers in figures: every way of saying them is tried on the sound."""

import pytest

from dictate.voice.sounds import plain_words, sounds_of, spellings
from tests.dictate.voice.conftest import recording


def test_a_digit_and_digits_apart_are_their_words() -> None:
    """What can be said in one way only needs no sound."""
    assert ("cow", "four", "one", "two") == plain_words(["Cow", "4-1-2."])


def test_the_ways_of_a_number_begin_digit_by_digit() -> None:
    """As most ear tags are read out; common practice."""
    ways = spellings("412")

    assert ("four", "one", "two") == ways[0]
    assert {("four", "twelve"), ("four", "hundred", "and", "twelve")} <= set(ways)
    assert {("oh",), ("zero",)} == set(spellings("0"))


def test_every_way_has_its_sounds() -> None:
    """Else the recording would be left out as unknown."""
    sounded, unknown = sounds_of(plain_words(["0412", "15"]))

    assert not unknown
    assert len(sounded[0]) >= 3 <= 1 + len(sounded[1])


def test_the_sound_says_which_way_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    """A network that hears exactly what was said chooses that way."""
    torch = pytest.importorskip("torch", reason="learning needs the extra [voice]")
    from dictate.voice import weeding

    said = "cow four twelve"
    phones = [phone for ways in recording(said).sounded for phone in ways[0]]
    frames = torch.full((3 * len(phones), 44), -9.0)
    for at, phone in enumerate(phones):
        frames[3 * at + 1, phone] = frames[3 * at, 0] = frames[3 * at + 2, 0] = 0.0
    heard = torch.log_softmax(frames, -1)
    monkeypatch.setattr(weeding, "heard_by", lambda *_: heard)
    written = recording(said).saying(("cow", "412"))

    words = weeding.in_words(None, [recording("four two"), written], None)

    assert {1: ("cow", "four", "twelve")} == words
