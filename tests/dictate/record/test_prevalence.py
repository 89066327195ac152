"""What is counted, and out of what."""

import datetime as dt

import pytest

from dictate.entry.terms import NO_LESION
from dictate.record.prevalence import ANY_LESION, GROUPINGS

from .rowmaker import action, counted, finding


def figures(rows, actions=(), by="herd"):
    found = counted(rows, actions, by=by)
    return {(row.group, row.lesion): (row.count, row.out_of) for row in found}


def test_an_animal_counts_once_however_many_lesions_and_visits():
    rows = [
        finding(1, "sole ulcer", "LH", "outer"),
        finding(1, "sole ulcer", "RH", "outer"),
        finding(1, "sole ulcer", "LH", "outer", visit=2),
        finding(2, NO_LESION),
    ]
    assert figures(rows)[("", "sole ulcer")] == (1, 2)


def test_a_trimmed_animal_without_findings_is_in_the_denominator():
    rows = [finding(1, "sole ulcer", "LH")]
    actions = [action(2, "functional trim", "LH"), action(3, "wrap removed", "LH")]
    assert figures(rows, actions)[("", "sole ulcer")] == (1, 2)
    assert figures(rows, actions, "foot")[("LH", "sole ulcer")] == (1, 2)


def test_a_healed_lesion_was_looked_at_and_is_none():
    rows = [
        finding(1, "sole ulcer", "LH", course="healed"),
        finding(2, "sole ulcer", "LH", course="same"),
    ]
    assert figures(rows)[("", "sole ulcer")] == (1, 2)


def test_no_lesion_without_a_foot_counts_for_no_foot():
    rows = [finding(1, "sole ulcer", "LH"), finding(2, NO_LESION), finding(3, NO_LESION, "LH")]
    assert figures(rows)[("", ANY_LESION)] == (1, 3)
    assert figures(rows, by="foot") == {("LH", ANY_LESION): (1, 2), ("LH", "sole ulcer"): (1, 2)}


def test_claws_and_zones_are_counted_out_of_checked_feet():
    rows = [
        finding(1, "sole ulcer", "LH", "outer", 4),
        finding(1, "white line disease", "LH", "outer", 3),
        finding(2, NO_LESION, "LH"),
        finding(3, "digital dermatitis", "RH", None, 10),
    ]
    claws = figures(rows, by="claw")
    assert claws[("LH outer", ANY_LESION)] == (1, 2)
    assert claws[("LH inner", ANY_LESION)] == (0, 2)
    zones = figures(rows, by="zone")
    assert zones[("zone 10", "digital dermatitis")] == (1, 3)
    assert zones[("zone 0", ANY_LESION)] == (0, 3)
    assert [group for group, _ in zones].index("zone 10") > [group for group, _ in zones].index(
        "zone 9"
    )


def test_lactations_and_years_have_their_own_denominators():
    rows = [
        finding(1, "sole ulcer", "LH", lactation=1, on=dt.date(2025, 5, 1)),
        finding(2, NO_LESION, visit=2, lactation=1, on=dt.date(2026, 5, 1)),
        finding(3, NO_LESION, visit=2, on=dt.date(2026, 5, 1)),
    ]
    assert figures(rows, by="lactation")[("lactation 1", "sole ulcer")] == (1, 2)
    assert figures(rows, by="lactation")[("lactation not known", ANY_LESION)] == (0, 1)
    assert figures(rows, by="year")[("2026", ANY_LESION)] == (0, 2)


def test_a_trim_counts_in_the_lactation_its_animal_has_that_day():
    rows = [finding(1, "sole ulcer", "LH", lactation=2)]
    trims = [action(1, "functional trim", "LH"), action(2, "functional trim", "LH")]
    found = figures(rows, trims, by="lactation")
    assert found[("lactation 2", ANY_LESION)] == (1, 1)
    assert found[("lactation not known", ANY_LESION)] == (0, 1)


@pytest.mark.parametrize("by", GROUPINGS)
def test_nothing_seen_gives_no_figures(by):
    assert counted([], by=by) == ()
