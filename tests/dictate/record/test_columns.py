"""Counting in columns gives what counting row by row gives."""

import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dictate.record import columns
from dictate.record import prevalence as counting
from dictate.record.columns import columns_of_rows
from dictate.record.prevalence import GROUPINGS, prevalence
from dictate.record.rows import ActionRow, FindingRow, VisitRow, natural
from dictate.record.trend import own_last

from . import plainly

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


@given(found=findings(), done=trims(), visits=st.sampled_from([VISITS, VISITS[1:3], VISITS[4:]]))
def test_the_two_ways_of_counting_agree(found, done, visits) -> None:
    """For every grouping, for any part of the visits, and for each animal against itself."""
    ids = {visit.id for visit in visits}
    some, did = ([row for row in rows if row.visit_id in ids] for rows in (found, done))
    told = columns_of_rows(found, done).of_visits(visits)

    for by in GROUPINGS:
        assert plainly.prevalence(some, did, by=by) == prevalence(told, visits, by=by), by
    assert plainly.own_last(VISITS, found, done) == own_last(columns_of_rows(found, done), VISITS)


@given(pairs=st.lists(st.tuples(st.integers(0, 5), st.integers(0, 9))))
def test_large_tables_are_counted_by_sorting(pairs) -> None:
    """The two ways to count what is different agree."""
    groups, ones = (np.array([pair[at] for pair in pairs], dtype=np.int64) for at in (0, 1))
    expected = [len({one for group, one in pairs if group == at}) for at in range(6)]
    for most in (counting.FLAGS_MAX, 0):
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(counting, "FLAGS_MAX", most)
            assert expected == counting._distinct(groups, ones, 6).tolist()


@given(
    values=st.lists(st.integers(-1, 9) | st.integers(2**40, 2**40 + 9)), more=st.lists(st.just(-1))
)
def test_numbers_are_coded_alike_whether_close_together_or_far_apart(values, more) -> None:
    """-1 is none, and the names stand in their order, as sorting them gives it."""
    coded = columns._numbered(values, more)
    assert coded.names == tuple(sorted({one for one in values if one >= 0}))
    assert [-1 if at < 0 else coded.names[at] for at in coded.at] == values + more


def test_numbers_stand_as_people_count() -> None:
    """Nine before ten, leading zeros beside their number, letters behind, whatever their case."""
    numbers = ["A12", "a2", "1000", "412", "0412", "9"]

    assert ["9", "412", "0412", "1000", "a2", "A12"] == sorted(numbers, key=natural)
