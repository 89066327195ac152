"""Lists with several messes at once: every row is taken rightly or listed, no column is lost in silence."""

import datetime as dt
from typing import Any

import pytest

from dictate.errors import RosterError
from dictate.exchange.past import PAST, one_visit_a_row, read_past
from dictate.exchange.roster import find_columns, read_rows, read_table
from dictate.exchange.roster.columns import ROSTER
from dictate.exchange.roster.dates import DateOrder
from tests.dictate.exchange import farm_lists
from tests.dictate.exchange.several_messes import PAST_LISTS, ROSTERS, TODAY, List


def _roster(one: List, answers: dict[str, Any]) -> Any:
    table = read_table(one.data, sheet=answers.get("sheet"))
    columns = find_columns(table, given=answers.get("given"))
    return read_rows(table, columns, dates=_order(answers), farm=answers.get("farm"), today=TODAY)


def _past(one: List, answers: dict[str, Any]) -> Any:
    table = one_visit_a_row(read_table(one.data))
    columns = find_columns(table, given=answers.get("given"), kind=PAST)
    on = dt.date.fromisoformat(answers["on"]) if "on" in answers else None
    return read_past(
        table, columns, words=answers.get("words"), dates=_order(answers), on=on,
        day_above=answers.get("day_above", False), today=TODAY,
    )  # fmt: skip


def _order(answers: dict[str, Any]) -> DateOrder | None:
    return DateOrder(answers["dates"]) if "dates" in answers else None


def _listed(one: List, read: Any) -> None:
    told = [" ".join(map(str, refused.row.texts)) for refused in read.refused]
    for text in one.refused:
        assert any(text in said for said in told), f"{text!r} is not listed"
    for heading in one.aside:
        assert heading in read.columns.left_out, f"{heading!r} is not named"


@pytest.mark.parametrize("one", ROSTERS + farm_lists.ROSTERS, ids=lambda one: one.name)
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


@pytest.mark.parametrize("one", PAST_LISTS + farm_lists.PAST_LISTS, ids=lambda one: one.name)
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
    assert (22, 10) == (len(farm_lists.ROSTERS), len(farm_lists.PAST_LISTS))


def test_a_list_of_several_farms_is_taken_in_for_one_of_them() -> None:
    """Both readers; one name alone is the farm's, however it is spelt."""
    listed = b"Farm;Cow;Date;Lesion;Foot\nHillside;1;2026-03-12;SU;LH\nValley;1;2026-03-12;DD;RH\n;2;2026-03-12;DD;RH\n"
    table = read_table(listed)
    for read, kind in ((read_rows, ROSTER), (read_past, PAST)):
        columns = find_columns(table, kind=kind)
        with pytest.raises(RosterError, match="several farms"):
            read(table, columns, today=TODAY, farm="Elsewhere")
        got = read(table, columns, today=TODAY, farm="VALLEY")
        assert ["1"] == [line.number for line in got.lines]
        assert [2, 4] == [one.row.line for one in got.refused]
        without = find_columns(table, kind=kind, given={"farm": "-"})
        assert "Farm" in without.left_out
        alone = read_table(listed.replace(b"Valley", b"HILLSIDE"))
        whys = [one.why for one in read(alone, columns, today=TODAY, farm="The hill").refused]
        assert not any("farm" in why for said in whys for why in said)


def test_only_a_day_that_is_known_to_be_one_of_the_rows_below_is_theirs() -> None:
    """A word beside it that is not known ends the day above too; without being said, none is filled."""
    listed = b"Visit: 12/05/2026\nCow;Lesion;Foot\n1;SU;LH\nVisit 13/05/2026\n2;DD;RH\nPrinted 14/05/2026\n3;DD;RH\n"
    table = read_table(listed)
    columns = find_columns(table, kind=PAST)
    read = read_past(table, columns, day_above=True, today=TODAY)
    days = [(line.number, line.date.day) for line in read.lines]
    assert [("1", 12), ("2", 13)] == days
    assert {"has no day"} == {why for one in read.refused[1:] for why in one.why}
    with pytest.raises(RosterError, match="the day"):
        read_past(table, columns, today=TODAY)


def test_a_deed_beside_a_lesion_of_two_feet_is_of_neither() -> None:
    """Nobody says under which of them the block is; alone it is of both, and two lesions are refused."""
    listed = b"Date;Cow;Foot;Lesion;Treatment\n2026-03-12;1;LH/RH;DD;block\n2026-03-12;2;LH RH;;block\n2026-03-12;3;LH+RH;DD+SU;\n"
    table = read_table(listed)
    read = read_past(table, find_columns(table, kind=PAST), today=TODAY)
    first, second = read.lines
    assert ["LH", "RH"] == [one.foot for one in first.findings]
    assert [None] == [one.foot for one in first.actions]
    assert ["LH", "RH"] == [one.foot for one in second.actions]
    assert [4] == [one.row.line for one in read.refused]


def test_a_number_that_may_be_several_animals() -> None:
    """`101-110` and `412/415` are refused, unless the farm writes most of its numbers so."""
    read = _roster(List("", "", b"Cow;Name\n101-110;A\n111;B\n412/415;C\n7/12;D\n", {}), {})
    assert [2, 4] == [one.row.line for one in read.refused]
    assert ["111", "7/12"] == [line.number for line in read.lines]
    read = _roster(List("", "", b"Cow;Name\n24-31;A\n24-32;B\n25-31;C\n", {}), {})
    assert 3 == len(read.lines)
    read = _past(List("", "", b"Cow;Date;DD\n412/415;13.3.2026;LH\n416;13.3.2026;x\n", {}), {})
    assert (["416"], 1) == ([line.number for line in read.lines], len(read.refused))


def test_lines_that_name_a_farm_part_a_list() -> None:
    """`Farm: Valley` above its rows, with the headings again or not; one such line is a title."""
    listed = b"Farm: Hillside;\nCow;Lact\n1;2\n2;1\nFarm;Valley\nCow;Lact\n1;3\n5;1\n"
    table = read_table(listed)
    columns = find_columns(table)
    with pytest.raises(RosterError, match=r"'Hillside' \(2\), 'Valley' \(2\)"):
        read_rows(table, columns, today=TODAY)
    read = read_rows(table, columns, today=TODAY, farm="valley")
    assert ["1", "5"] == [line.number for line in read.lines]
    table = read_table(listed.replace(b"Farm;Valley", b";"))
    assert 2 == len(read_rows(table, find_columns(table), today=TODAY, farm="F").lines)


def test_a_doubtful_cell_of_a_past_list_is_refused() -> None:
    """A sign of doubt is not read over; what a person said that it means is taken."""
    listed = b"Date;Cow;Foot;Lesion\n2026-03-12;1;LH?;SU\n2026-03-12;2;LH/?;SU\n2026-03-12;3;LH;SU?\n2026-03-12;4;?;SU\n"
    table = read_table(listed)
    columns = find_columns(table, kind=PAST)
    read = read_past(table, columns, today=TODAY)
    assert ["4"] == [line.number for line in read.lines]
    read = read_past(table, columns, words={"su": "sole ulcer"}, today=TODAY)
    assert ["3", "4"] == [line.number for line in read.lines]
