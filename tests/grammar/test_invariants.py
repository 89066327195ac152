"""What must hold of every note, whatever was said: a short run of tests/bench/invariants.py."""

import random
from itertools import islice

import pytest

from tests.bench.invariants import breach, talks

NOTES = 300
"""A kind each; the bench runs 100,000 in all."""


@pytest.mark.parametrize("kind", range(5))
def test_no_way_of_talking_breaks_an_invariant(kind):
    """No denied finding, no unbilled work, no other animal, no number lost, either-or marked."""
    made = islice(talks(random.Random(7)), kind, None, 5)

    broken = [
        f"{talk.kind}: {fault}: {' '.join(talk.words)}"
        for talk in islice(made, NOTES)
        if (fault := breach(talk))
    ]
    assert broken == []
