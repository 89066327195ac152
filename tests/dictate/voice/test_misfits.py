"""Recordings whose words do not fit their sound are told from a strange accent."""

import pytest

torch = pytest.importorskip("torch", reason="learning needs the extra [voice]")

from dictate.voice.school import furthest_as_good  # noqa: E402 (needs PyTorch)
from dictate.voice.weeding import Fit, misfits  # noqa: E402


def _fit(worst_word: float, lacks: float) -> Fit:
    return Fit(loss=-worst_word, lacks=lacks, worst_word=worst_word)


def test_a_word_that_was_not_said_stands_out() -> None:
    """One recording in ten with another word on its label."""
    found = [_fit(-0.3, 0.5)] * 9 + [_fit(-6.0, 20.0)]

    assert [9] == misfits(found)


def test_a_strange_accent_is_not_a_wrong_label() -> None:
    """Where every recording fits badly, none is dropped."""
    assert [] == misfits([_fit(-3.0, 8.0)] * 10)


def test_among_a_few_recordings_none_is_dropped() -> None:
    """Four recordings do not say what is usual."""
    assert [] == misfits([_fit(-0.3, 0.5)] * 3 + [_fit(-6.0, 20.0)])


def test_the_weights_go_as_far_as_speech_has_nothing_against() -> None:
    """The largest share within a standard error of the best; without speech to tell, all of it."""
    further = {0.5: [0.9, 1.0, 1.1], 1.0: [0.1, 0.2, 0.3]}
    alike = {0.5: [0.1, 0.2, 0.3], 1.0: [0.2, 0.2, 0.3]}
    too_far = {0.5: [0.1, 0.2, 0.3], 1.0: [0.9, 1.0, 1.1]}

    assert 1.0 == furthest_as_good(further)
    assert 1.0 == furthest_as_good(alike)
    assert 0.5 == furthest_as_good(too_far)
    assert 1.0 == furthest_as_good({0.5: [], 1.0: []})
