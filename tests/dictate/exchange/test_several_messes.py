"""Lists with several messes at once: every row is taken rightly or listed, no column is lost in silence."""

import datetime as dt
from typing import Any

import pytest

from dictate.errors import RosterError
from dictate.exchange.past import PAST, one_visit_a_row, read_past
from dictate.exchange.roster import find_columns, read_rows, read_table
from dictate.exchange.roster.dates import DateOrder
from tests.dictate.exchange.several_messes import PAST_LISTS, ROSTERS, TODAY, List


def _roster(one: List, answers: dict[str, Any]) -> Any:
    table = read_table(one.data, sheet=answers.get("sheet"))
    columns = find_columns(table, given=answers.get("given"))
    return read_rows(table, columns, dates=_order(answers), today=TODAY)


def _past(one: List, answers: dict[str, Any]) -> Any:
    table = one_visit_a_row(read_table(one.data))
    columns = find_columns(table, given=answers.get("given"), kind=PAST)
    on = dt.date.fromisoformat(answers["on"]) if "on" in answers else None
    return read_past(
        table, columns, words=answers.get("words"), dates=_order(answers), on=on, today=TODAY
    )


def _order(answers: dict[str, Any]) -> DateOrder | None:
    return DateOrder(answers["dates"]) if "dates" in answers else None


def _listed(one: List, read: Any) -> None:
    told = [" ".join(map(str, refused.row.texts)) for refused in read.refused]
    for text in one.refused:
        assert any(text in said for said in told), f"{text!r} is not listed"
    for heading in one.aside:
        assert heading in read.columns.left_out, f"{heading!r} is not named"


@pytest.mark.parametrize("one", ROSTERS, ids=lambda one: one.name)
def test_a_roster(one: List) -> None:
    if one.asks:
        with pytest.raises(RosterError):
            _roster(one, {})
    read = _roster(one, one.answers)
    taken = {line.number: line for line in read.lines}
    assert set(one.hoped) == set(taken)
    for number, said in one.hoped.items():
        assert said == {name: getattr(taken[number], name) for name in said}, number
    _listed(one, read)


@pytest.mark.parametrize("one", PAST_LISTS, ids=lambda one: one.name)
def test_a_past_list(one: List) -> None:
    if "dates" in one.answers or "on" in one.answers:
        with pytest.raises(RosterError):
            _past(one, {})
    read = _past(one, one.answers)
    taken = {
        (line.number, str(line.date), kind, part.foot, part.claw)
        for line in read.lines
        for kind, part in [
            *((finding.lesion, finding) for finding in line.findings),
            *((action.kind, action) for action in line.actions),
        ]
    }
    assert one.hoped == taken
    _listed(one, read)


def test_there_are_as_many_as_the_documentation_says() -> None:
    assert (15, 10) == (len(ROSTERS), len(PAST_LISTS))


def test_a_number_that_may_be_several_animals() -> None:
    """`101-110` and `412/415` are refused, unless the farm writes most of its numbers so."""
    read = _roster(List("", "", b"Cow;Name\n101-110;A\n111;B\n412/415;C\n7/12;D\n", {}), {})
    assert [2, 4] == [one.row.line for one in read.refused]
    assert ["111", "7/12"] == [line.number for line in read.lines]
    read = _roster(List("", "", b"Cow;Name\n24-31;A\n24-32;B\n25-31;C\n", {}), {})
    assert 3 == len(read.lines)
    read = _past(List("", "", b"Cow;Date;DD\n412/415;13.3.2026;LH\n416;13.3.2026;x\n", {}), {})
    assert (["416"], 1) == ([line.number for line in read.lines], len(read.refused))
