"""The decoding graph: which words explain which frames."""

import multiprocessing
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor

import pytest


@pytest.fixture(scope="module")
def apart() -> Iterator[ProcessPoolExecutor]:
    """A process that may load kaldifst."""
    with ProcessPoolExecutor(1, mp_context=multiprocessing.get_context("spawn")) as pool:
        yield pool


def _check(name, *given):
    """Runs in the process apart: loading kaldifst here would shut Vosk out of the whole run."""
    from . import graph_checks

    return getattr(graph_checks, name)(*given)


def best(apart, frames, spoken=None):
    return apart.submit(_check, "best_words", frames, spoken).result()


def test_words_are_read_off_their_sounds(apart):
    """Frames of phones with blanks between them give the words."""
    words, _ = best(apart, "- K - AW AW - F AO R - - K L IY - N -")

    assert words == ["cow", "four", "clean"]


def test_every_pronunciation_counts(apart):
    """Four without its r is four, too."""
    words, _ = best(apart, "K AW F AO K L IY N")

    assert words == ["cow", "four", "clean"]


def test_any_order_is_possible(apart):
    """Words that no note has in this order can still be heard."""
    words, _ = best(apart, "AH L S ER K L IY N K AW")

    assert words == ["ulcer", "clean", "cow"]


def test_the_context_decides_between_homophones(apart):
    """Four and fore sound alike; after cow comes a number."""
    assert best(apart, "K AW F AO R K L IY N")[0] == ["cow", "four", "clean"]
    assert best(apart, "F AO R K L IY N")[0] == ["fore", "clean"]


def test_everyday_words_are_filler(apart):
    """A word of ordinary talk comes out as the filler, not as a trade word."""
    words, _ = best(apart, "K AW - W EH DH ER - K L IY N")

    assert words == ["cow", "[unk]", "clean"]


def test_sounds_of_no_word_are_filler(apart):
    """Any run of phones can be the filler."""
    words, _ = best(apart, "K AW - ZH UH G OY M - K L IY N")

    assert words == ["cow", "[unk]", "clean"]


def test_silence_is_nothing(apart):
    """Blank frames alone give no words."""
    assert best(apart, "- - - - -")[0] == []


def test_a_roster_number_costs_less(apart):
    """With a roster its numbers are likelier, and others stay possible."""
    herd = {"412": [("four", "twelve")]}
    frames = "K AW F AO R T W EH L V K L IY N"
    other = "K AW T W EH L V F AO R K L IY N"

    known, cost_known = best(apart, frames, herd)
    stranger, cost_stranger = best(apart, other, herd)

    assert known == ["cow", "four", "twelve", "clean"]
    assert stranger == ["cow", "twelve", "four", "clean"]
    assert cost_known < best(apart, frames)[1]
    assert cost_stranger > best(apart, other)[1]


def test_words_without_sound_are_named(apart):
    """A word that nobody can pronounce is an error at once."""
    error = apart.submit(_check, "missing_pronunciation").result()

    assert "no pronunciation for interdigital" in error
