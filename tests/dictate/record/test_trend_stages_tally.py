"""Trend over visits, stages of digital dermatitis, and the tally."""

import datetime as dt
from decimal import Decimal

import pytest

from dictate.entry.terms import NO_LESION, STAGES
from dictate.record.columns import columns_of_rows
from dictate.record.prevalence import stage_distribution
from dictate.record.tally import Price, tally
from dictate.record.trend import changes_since_last, trend

from .rowmaker import action, counted, finding, visit

SPRING, AUTUMN = dt.date(2026, 3, 2), dt.date(2026, 9, 7)


def test_the_trend_has_zeros_and_the_change_its_interval():
    visits = [visit(1, SPRING, whole_herd=True), visit(2, AUTUMN, whole_herd=True)]
    rows = [finding(n, NO_LESION, visit=1, on=SPRING) for n in range(80)]
    rows += [
        finding(n, "sole ulcer" if n < 20 else NO_LESION, visit=2, on=AUTUMN) for n in range(80)
    ]
    points = trend(visits, counted(rows, by="visit"))
    ulcers = [(p.on, p.count, p.out_of) for p in points if p.lesion == "sole ulcer"]
    assert ulcers == [(SPRING, 0, 80), (AUTUMN, 20, 80)]
    change = next(c for c in changes_since_last(points) if c.lesion == "sole ulcer")
    assert change.is_up
    assert change.is_clear
    assert change.low < 0.25 < change.high


def test_one_visit_is_no_trend():
    rows = [finding(1, "sole ulcer", "LH")]
    assert changes_since_last(trend([visit(1)], counted(rows, by="visit"))) == ()


def test_stage_distribution_of_solano():
    """Solano et al. 2017: M1 2 %, M2 6 %, M3 0 %, M4 36 %, M4.1 14 % of feet; the rest without (M0)."""
    counts = {"M0": 42, "M1": 2, "M2": 6, "M3": 0, "M4": 36, "M4.1": 14}
    stages = [stage for stage, feet in counts.items() for _ in range(feet)]
    rows = [finding(n, "digital dermatitis", "LH", stage=stage) for n, stage in enumerate(stages)]
    rows.append(finding(1000, "digital dermatitis", "LH"))
    found = stage_distribution(columns_of_rows(rows, []))
    assert [share.value for share in found] == list(STAGES)
    assert {share.value: share.count for share in found} == counts
    assert {(share.out_of, share.missing) for share in found} == {(100, 1)}


def test_a_foot_counts_once_with_the_stage_said_last():
    rows = [finding(1, "digital dermatitis", "LH", stage=stage) for stage in ("M2", None, "M4.1")]
    assert {
        share.value: share.count
        for share in stage_distribution(columns_of_rows(rows, []))
        if share.count
    } == {"M4.1": 1}


def test_the_tally_multiplies_exactly():
    """Amounts checked by hand: 2 animals at 11.35, 3 blocks at 7.10."""
    actions = [action(1, "functional trim", foot) for foot in ("LF", "RF", "LH", "RH")]
    actions += [action(2, "functional trim"), action(1, "wrap", "LH")]
    actions += [action(n, "block", "LH", "inner") for n in (1, 2, 3)]
    prices = {
        "functional trim": Price(amount=Decimal("11.35"), per="animal"),
        "block": Price(amount=Decimal("7.10")),
    }
    result = tally(actions, prices, currency="EUR")
    lines = {line.kind: line for line in result.lines}
    assert (
        lines["functional trim"].animals,
        lines["functional trim"].feet,
        lines["functional trim"].times,
    ) == (2, 4, 5)
    assert str(lines["block"].amount) == "21.30"
    assert str(result.total) == "44.00"
    assert result.without_price == ("wrap",)


def test_a_price_by_the_foot_says_what_it_could_not_count():
    actions = [action(1, "functional trim", "LH"), action(2, "functional trim")]
    result = tally(actions, {"functional trim": Price(amount=Decimal(3), per="foot")})
    assert (result.total, result.without_foot) == (Decimal(3), ("functional trim",))


@pytest.mark.parametrize(
    ("currency", "amount"), [("EUR", "55.52"), ("JPY", "56"), ("KWD", "55.515"), ("", "55.52")]
)
def test_a_line_is_rounded_once_to_what_the_currency_has(currency, amount):
    """ISO 4217 minor units; the sum adds what stands on the lines."""
    actions = [action(at, "wrap", "LH") for at in range(3)]
    result = tally(actions, {"wrap": Price(amount=Decimal("18.505"))}, currency=currency)
    assert (str(result.lines[0].amount), str(result.total)) == (amount, amount)


@pytest.mark.parametrize("amount", ["0.1", "1e3", "250", "0.005"])
def test_no_cent_is_lost_over_many_lines(amount):
    actions = [action(n, "wrap", "LH") for n in range(1000)]
    assert tally(actions, {"wrap": Price(amount=Decimal(amount))}).total == Decimal(amount) * 1000
