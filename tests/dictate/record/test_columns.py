"""Counting in columns gives what counting row by row gives: the published checks hold for both."""

import datetime as dt

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from dictate.record import columns as by_column
from dictate.record.own_last import against_own_last
from dictate.record.prevalence import TRIM_KINDS, looked_at, prevalence
from dictate.record.rows import ActionRow, FindingRow, VisitRow, natural
from dictate.record.stages import stage_distribution, stages_of

DAYS = [dt.date(2025, 1, 1) + dt.timedelta(days=100 * at) for at in range(5)]
VISITS = [VisitRow(id=at + 1, farm_id=1, on=day, whole_herd=True) for at, day in enumerate(DAYS)]
FEET = st.sampled_from(["LF", "RF", "LH", "RH", None])
ANIMALS = st.integers(1, 6)
AT = st.integers(0, len(DAYS) - 1)


@st.composite
def findings(draw: st.DrawFn) -> list[FindingRow]:
    rows = []
    for number in range(draw(st.integers(0, 25))):
        at, animal = draw(AT), draw(ANIMALS)
        lesion = draw(
            st.sampled_from(["sole ulcer", "digital dermatitis", "no lesion", "toe ulcer"])
        )
        rows.append(
            FindingRow(
                id=number, farm_id=1, visit_id=at + 1, animal_id=animal, on=DAYS[at], lesion=lesion,
                animal=str(100 + animal), foot=draw(FEET), claw=draw(st.sampled_from(["outer", "inner", None])),
                zone=draw(st.one_of(st.none(), st.integers(0, 12))), stage=draw(st.sampled_from([None, "M2", "M4.1"])),
                course=draw(st.sampled_from([None, "healed", "worse"])), lactation=animal if animal % 2 else None,
            )
        )  # fmt: skip
    return sorted(rows, key=lambda row: (row.on, row.visit_id, row.id))


@st.composite
def trims(draw: st.DrawFn) -> list[ActionRow]:
    rows = []
    for number in range(draw(st.integers(0, 10))):
        at, animal = draw(AT), draw(ANIMALS)
        kind = draw(st.sampled_from(["functional trim", "therapeutic trim", "block"]))
        rows.append(ActionRow(id=number, farm_id=1, visit_id=at + 1, animal_id=animal, on=DAYS[at], kind=kind, foot=draw(FEET)))  # fmt: skip
    return rows


def _columns(found: list[FindingRow], done: list[ActionRow]) -> by_column.Columns:
    return by_column.columns_of(
        by_column.Listed(
            animal=[r.animal_id for r in found], visit=[r.visit_id for r in found],
            zone=[-1 if r.zone is None else r.zone for r in found],
            lactation=[-1 if r.lactation is None else r.lactation for r in found],
            foot=[r.foot or "" for r in found], claw=[r.claw or "" for r in found],
            lesion=[r.lesion for r in found], course=[r.course or "" for r in found],
        ),
        [(r.animal_id, r.visit_id, r.foot) for r in done if r.kind in TRIM_KINDS],
        [(r.animal_id, r.visit_id, r.foot, r.stage) for r in found if r.lesion == by_column.STAGED and r.is_lesion],
        {row.animal_id: row.animal for row in found},
    )  # fmt: skip


@given(found=findings(), done=trims(), visits=st.sampled_from([VISITS, VISITS[1:3], VISITS[4:]]))
def test_the_two_ways_of_counting_agree(found, done, visits) -> None:
    """For every grouping, for any part of the visits, and for each animal against itself."""
    ids = {visit.id for visit in visits}
    some, did = ([row for row in rows if row.visit_id in ids] for rows in (found, done))
    columns = _columns(found, done).of_visits(visits)

    for by in ("herd", "foot", "claw", "zone", "lactation", "year", "visit"):
        assert prevalence(some, did, by=by) == by_column.prevalence(columns, visits, by=by), by
    assert stage_distribution(some) == stages_of((one[:3], one[3]) for one in columns.staged)
    assert against_own_last(VISITS, found, looked_at(found, done)) == by_column.own_last(
        _columns(found, done), VISITS
    )


@given(pairs=st.lists(st.tuples(st.integers(0, 5), st.integers(0, 9))))
def test_large_tables_are_counted_by_sorting(pairs) -> None:
    """The two ways to count what is different agree."""
    groups, ones = (np.array([pair[at] for pair in pairs], dtype=np.int64) for at in (0, 1))
    expected = [len({one for group, one in pairs if group == at}) for at in range(6)]
    for most in (by_column._FLAGS_MAX, 0):
        was, by_column._FLAGS_MAX = by_column._FLAGS_MAX, most
        try:
            assert expected == by_column._distinct(groups, ones, 6).tolist()
        finally:
            by_column._FLAGS_MAX = was


def test_numbers_stand_as_people_count() -> None:
    """Nine before ten, leading zeros beside their number, letters behind, whatever their case."""
    numbers = ["A12", "a2", "1000", "412", "0412", "9"]

    assert ["9", "412", "0412", "1000", "a2", "A12"] == sorted(numbers, key=natural)
