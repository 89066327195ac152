"""Several lesions told in one order: a short run of tests/bench/told_in_order.py."""

import random

import pytest

from tests.bench.told_in_order import KINDS, notes, wrong


@pytest.mark.parametrize("kind", KINDS)
def test_each_detail_stands_on_its_own_lesion(kind):
    """Whatever the order of foot, claw, lesion, zone, severity, course and deed."""
    said = list(notes(kind, 1, random.Random(7)))
    assert len(said) > 60
    assert [note.said for note in said if wrong(note) is not None] == []
