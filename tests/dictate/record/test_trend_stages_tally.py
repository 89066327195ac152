"""Trend over visits, stages of digital dermatitis, and the tally."""

import datetime as dt
from decimal import Decimal

import pytest

from dictate.entry.terms import NO_LESION, STAGES
from dictate.record.columns import columns_of_rows
from dictate.record.prevalence import stage_distribution
from dictate.record.rows import FindingRow, VisitRow
from dictate.record.tally import Price, tally
from dictate.record.trend import changes_since_last, over_months_or_years, own_last, step_for, trend

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


def test_many_visits_are_drawn_by_month_or_by_year():
    def every(days, count):
        return [visit(at, SPRING + dt.timedelta(days=days * at)) for at in range(count)]

    assert step_for(every(7, 30)) == "visit"
    assert step_for(every(7, 52)) == "month"
    assert step_for(every(73, 100)) == "year"


@pytest.mark.parametrize(("by", "first"), [("year", dt.date(2026, 1, 1)), ("month", dt.date(2026, 3, 1))])  # fmt: skip
def test_an_animal_counts_once_in_a_year_or_month_and_one_without_a_lesion_is_a_zero(by, first):
    days = [SPRING, SPRING + dt.timedelta(days=7), SPRING + dt.timedelta(days=400)]
    rows = [
        finding(1, "sole ulcer", visit=1, on=days[0]), finding(1, "sole ulcer", visit=2, on=days[1]),
        finding(2, NO_LESION, visit=1, on=days[0]), finding(2, "thin sole", visit=3, on=days[2]),
    ]  # fmt: skip
    drawn = over_months_or_years(counted(rows, by=by))
    ulcers = [(one.on, one.count, one.out_of) for one in drawn if one.lesion == "sole ulcer"]
    assert ulcers[0] == (first, 1, 2)
    assert [one[1:] for one in ulcers[1:]] == [(0, 1)]


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


DAYS = [dt.date(2026, 1, 5), dt.date(2026, 4, 6), dt.date(2026, 7, 6)]
VISITS = [VisitRow(id=at, farm_id=1, on=on) for at, on in enumerate(DAYS, start=1)]


def rows(seen):
    """One finding for each letter: `x` a lesion, `h` one said to be healed, `-` no lesion, ` ` not seen."""
    for animal, visits in seen.items():
        for at, mark in zip(VISITS, visits, strict=True):
            if mark != " ":
                yield FindingRow(
                    id=1, farm_id=1, visit_id=at.id, animal_id=int(animal), animal=animal, on=at.on,
                    lesion="no lesion" if mark == "-" else "sole ulcer", course="healed" if mark == "h" else None,
                )  # fmt: skip


def test_every_animal_of_the_last_visit_is_in_one_group():
    """Compared with the visit that saw it last, not with the herd's last visit."""
    seen = {
        "10": "-x-",
        "9": "x-x",
        "12": "x x",
        "7": "- -",
        "30": "  x",
        "31": "  -",
        "8": "xx ",
        "11": " xh",
    }
    own = own_last(columns_of_rows(list(rows(seen)), []), VISITS)
    assert (own.on, own.began, own.still, own.gone) == (DAYS[2], ("9",), ("12",), ("10", "11"))
    assert (own.clean, own.first) == (("7",), ("30", "31"))


def test_without_a_visit_there_is_nothing_to_compare():
    assert own_last(columns_of_rows([], []), []) is None
