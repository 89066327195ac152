"""The terms of an entry are those of the grammar: one list each, whoever needs it."""

from typing import get_args

from dictate.entry import terms, values
from grammar import parse, split_text


def test_terms_are_the_grammars() -> None:
    """Whatever the grammar can say of a foot, claw or stage has its term here, and no more."""
    feet = parse(split_text("cow four all four feet clean")).entries[0].findings

    assert {finding.foot.value for finding in feet if finding.foot} == set(terms.FEET)
    assert {finding.lesion.value for finding in feet} == {terms.NO_LESION}
    assert set(terms.FOOT_NAMES) == set(terms.FEET) == set(get_args(values.Foot))
    assert set(terms.CLAWS) == set(get_args(values.Claw))


def test_every_stage_can_be_said() -> None:
    """Each stage is read as itself, and one beyond them is none."""
    for stage in terms.STAGES:
        number = stage.removeprefix("M").replace(".1", " point one")
        words = split_text(f"cow seven left hind digital dermatitis m {number}")
        (finding,) = parse(words).entries[0].findings
        assert finding.stage is not None
        assert finding.stage.value == stage
