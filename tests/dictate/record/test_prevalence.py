"""What is counted, and out of what."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from dictate.entry.terms import NO_LESION
from dictate.record.prevalence import ANY_LESION, GROUPINGS, percent, wilson
from dictate.record.trend import difference_interval

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


# k, n, Wilson. The first four pairs are those of Newcombe 1998 (Stat Med 17:857-872),
# Table I; Wilson of 81/263 and 0/10 also stands in statsmodels' own tests; the others from scipy.
TABLE = [
    (81, 263, (0.2553, 0.3662)),
    (15, 148, (0.0624, 0.1605)),
    (0, 20, (0, 0.1611)),
    (1, 29, (0.0061, 0.1718)),
    (0, 10, (0, 0.2775)),
    (10, 10, (0.7225, 1)),
    (23, 60, (0.2709, 0.5098)),
    (197, 215, (0.8716, 0.9464)),
    (52, 231, (0.1760, 0.2832)),
    (234, 324, (0.6711, 0.7682)),
    (10, 144, (0.0382, 0.1231)),
]


@pytest.mark.parametrize(("k", "n", "score"), TABLE)
def test_published_intervals_to_the_printed_digit(k, n, score):
    assert tuple(round(end, 4) for end in wilson(k, n)) == score


@given(st.integers(1, 5000).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_intervals_agree_with_scipy(pair):
    k, n = pair
    ours, theirs = wilson(k, n), binomtest(k, n).proportion_ci(method="wilson")
    assert ours == pytest.approx((theirs.low, theirs.high), abs=1e-9)
    assert ours[0] <= k / n <= ours[1]


@pytest.mark.parametrize(("k", "n"), [(-1, 5), (6, 5), (0, 0)])
def test_what_is_no_proportion_is_refused(k, n):
    with pytest.raises(ValueError, match="not a proportion"):
        wilson(k, n)


def test_interval_of_a_difference():
    """Newcombe 1998 (Stat Med 17:873-890), 56/70 - 48/80 by the hybrid score method (from memory)."""
    assert tuple(round(end, 4) for end in difference_interval(56, 70, 48, 80)) == (0.0524, 0.3339)


@pytest.mark.parametrize(
    ("k", "n", "digits", "text"),
    [
        (1, 8, 1, "12.5"),
        (1, 8, 0, "13"),
        (1, 16, 1, "6.3"),
        (0, 7, 1, "0.0"),
        (7, 7, 1, "100.0"),
        (0, 0, 1, "–"),
    ],
)
def test_percentages_round_halves_up(k, n, digits, text):
    assert percent(k, n, digits) == text
