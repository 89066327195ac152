"""Cases over visits."""

import datetime as dt

import pytest

from dictate.entry.terms import NO_LESION
from dictate.record.cases import cases_of, count_cases, match_open_case, time_to_close

from .rowmaker import finding

DAYS = [dt.date(2026, 1, 5) + dt.timedelta(days=28 * n) for n in range(6)]


def at(n, lesion="sole ulcer", foot="LH", claw="outer", animal=1, **more):
    return finding(animal, lesion, foot, claw, visit=n, on=DAYS[n], **more)


@pytest.mark.parametrize("course", ["healing", "same", "worse", "better"])
def test_the_next_note_of_the_same_claw_goes_on_with_the_case(course):
    (case,) = cases_of([at(0), at(1, course=course)])
    assert (case.course, case.visits, case.closed_on) == (course, 2, None)


def test_healed_closes_and_the_next_one_is_a_repeat():
    first, second = cases_of([at(0), at(2, course="healed"), at(4)])
    assert (first.closed_on, first.last_on, first.course) == (DAYS[2], DAYS[0], "closed")
    assert second.kind(3) == "repeat"


def test_no_lesion_on_the_foot_closes_and_without_a_foot_does_not():
    assert cases_of([at(0), at(1, NO_LESION, claw=None)])[0].closed_on == DAYS[1]
    assert cases_of([at(0), at(1, NO_LESION, claw="inner")])[0].closed_on is None
    assert cases_of([at(0), at(1, NO_LESION, foot="RH", claw=None)])[0].closed_on is None
    assert cases_of([at(0), at(1, NO_LESION, foot=None, claw=None)])[0].closed_on is None
    assert cases_of([at(0), at(0, NO_LESION, claw=None)])[0].closed_on is None, (
        "same visit: the rest of the foot"
    )


def test_other_claw_foot_lesion_or_animal_is_another_case():
    rows = [at(0), at(1, claw="inner"), at(1, foot="RH"), at(1, "toe ulcer"), at(1, animal=2)]
    assert len(cases_of(rows)) == 5


def test_a_white_line_fissure_that_became_an_abscess_is_one_case():
    (case,) = cases_of([at(0, "white line fissure"), at(1, "white line abscess")])
    assert case.name == "white line"


def test_a_note_without_a_claw_joins_only_when_one_case_fits():
    one = cases_of([at(0)])
    two = cases_of([at(0), at(0, claw="inner")])
    note = at(1, claw=None)
    assert match_open_case(note, one) == one[0]
    assert match_open_case(note, two) is None


def test_said_new_is_a_new_case_and_recurrence_a_repeat():
    assert [case.kind(3) for case in cases_of([at(0), at(1, course="new")])] == ["new", "new"]
    assert [case.kind(3) for case in cases_of([at(1, course="recurrence")])] == ["repeat"]


def test_counts_and_time_to_close():
    rows = [at(0), at(1), at(2)]  # chronic, open
    rows += [at(0, animal=2), at(2, animal=2, course="healed")]  # new, closed after 56 days
    rows += [
        at(0, animal=3),
        at(1, animal=3, course="healed"),
        at(3, animal=3),
    ]  # 28 days; then a repeat
    cases = cases_of(rows)
    counts = count_cases(cases, chronic_visits=3)
    assert (counts.new, counts.repeat, counts.chronic, counts.open) == (2, 1, 1, 2)
    closing = time_to_close(cases)
    assert (closing.closed, closing.open, closing.median_days) == (2, 2, 42)
    assert (closing.shortest_days, closing.longest_days) == (28, 56)


def test_nothing_closed_gives_no_time():
    assert time_to_close(cases_of([at(0)])).median_days is None
