"""Strangers' bytes give a result or a promised error, never a crash; `tests/bench/fuzz.py` tries many more."""

import random
import warnings

import pytest
from hypothesis import HealthCheck, given, seed, settings
from hypothesis import strategies as st
from targets import TARGETS, Target, mutated

SLOW = frozenset({"lexicon", "import", "sound file"})


@pytest.mark.parametrize("target", TARGETS, ids=lambda target: target.name)
def test_seeds_are_taken(target: Target) -> None:
    """The unharmed inputs come through, so that the faults are tried on the real paths."""
    assert any(target.try_one(data) for data in target.seeds())


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("target", TARGETS, ids=lambda target: target.name)
def test_harmed_inputs(target: Target) -> None:
    """Harmed seeds, and every input that once crashed."""
    rng = random.Random(20260302)
    seeds = target.seeds()
    for data in target.crashes():
        target.try_one(data)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for _ in range(15 if target.name in SLOW else 150):
            data = mutated(rng, seeds)
            try:
                target.try_one(data)
            except Exception as error:
                error.add_note(f"input: {data[:2000]!r}")
                raise


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize(
    "target", [t for t in TARGETS if t.name not in SLOW], ids=lambda target: target.name
)
def test_any_bytes(target: Target) -> None:
    """Bytes without any form at all."""

    @seed(1)
    @settings(max_examples=60, database=None, suppress_health_check=list(HealthCheck))
    @given(
        st.one_of(
            st.binary(max_size=400),
            st.text(max_size=200).map(lambda text: text.encode("utf-8", "replace")),
        )
    )
    def tried(data: bytes) -> None:
        target.try_one(data)

    tried()
