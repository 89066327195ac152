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


@pytest.mark.parametrize(
    ("frames", "words"),
    [
        pytest.param(
            "- K - AW AW - F AO R - - K L IY - N -", ["cow", "four", "clean"], id="blanks between"
        ),
        pytest.param("K AW F AO K L IY N", ["cow", "four", "clean"], id="four without its r"),
        pytest.param(
            "AH L S ER K L IY N K AW", ["ulcer", "clean", "cow"], id="an order of no note"
        ),
        pytest.param("K AW F AO R K L IY N", ["cow", "four", "clean"], id="a number after cow"),
        pytest.param("F AO R K L IY N", ["fore", "clean"], id="its homophone elsewhere"),
        pytest.param("K AW - W EH DH ER - K L IY N", ["cow", "[unk]", "clean"], id="ordinary talk"),
        pytest.param(
            "K AW - ZH UH G OY M - K L IY N", ["cow", "[unk]", "clean"], id="no word at all"
        ),
        pytest.param("- - - - -", [], id="silence"),
    ],
)
def test_words_are_read_off_their_sounds(apart, frames, words):
    """Frames of phones give the words of the graph; what is no word of the trade is the filler."""
    assert best(apart, frames)[0] == words


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
