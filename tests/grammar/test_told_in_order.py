"""Several lesions told in one order: a short run of tests/bench/told_in_order.py."""

import random

import pytest

from tests.bench.told_in_order import KINDS, TOLD_APART, apart, notes, wrong


@pytest.mark.parametrize("kind", KINDS)
def test_each_detail_stands_on_its_own_lesion(kind):
    """Whatever the order of foot, claw, lesion, zone, severity, course and deed."""
    said = list(notes(kind, 1, random.Random(7)))
    assert len(said) > 60
    assert [note.said for note in said if wrong(note) is not None] == []


@pytest.mark.parametrize("kind", TOLD_APART)
def test_each_foot_has_what_was_told_of_it(kind):
    """One lesion, two, one on each claw, none, or one denied; the foot before it or behind."""
    said = list(apart(kind, 1, random.Random(7)))
    assert len(said) >= 50
    assert [note.said for note in said if wrong(note) is not None] == []
