"""Intervals against published values and against scipy."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from dictate.record.intervals import percent, wilson
from dictate.record.trend import difference_interval

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
