"""Rosters as farms send them: every row is an animal or is refused with its reason."""

import csv
import io

import pytest

from dictate.errors import RosterError
from dictate.exchange.roster import find_columns, read_rows, read_table, write_refused
from dictate.exchange.roster.dates import DateOrder
from tests.dictate.exchange.roster.messy import TODAY, Messy, all_messy

ALL = all_messy()


def test_there_are_forty() -> None:
    """The folder is as large as it says."""
    assert len(ALL) >= 40
    assert len({one.name for one in ALL}) == len(ALL)


@pytest.mark.parametrize("one", ALL, ids=lambda one: one.name)
def test_every_row_is_an_animal_or_refused(one: Messy) -> None:
    """No animal that is none, no animal lost, no field dropped, every refusal with its reason."""
    if one.asked:
        with pytest.raises(RosterError, match=one.asked) as caught:
            _read(one)
        assert "--" in caught.value.remedy
        return
    read = _read(one)

    found = {line.number: line for line in read.lines}
    assert set(one.animals) == set(found)
    for number, said in one.animals.items():
        assert said == {name: getattr(found[number], name) for name in said}, number
    assert one.refused == len(read.refused), [refused.said for refused in read.refused]
    assert all(refused.why and refused.why[0] for refused in read.refused)
    if read.refused:
        mended = list(
            csv.reader(io.StringIO(write_refused(read.refused, read.columns)), delimiter=";")
        )
        assert len(mended) == 1 + one.refused


@pytest.mark.parametrize("one", [one for one in ALL if one.refused], ids=lambda one: one.name)
def test_the_file_to_mend_is_read_like_any_other(one: Messy) -> None:
    """Unmended, its rows are refused again: none becomes an animal on the way."""
    if one.asked:
        return
    first = _read(one)
    again = read_table(write_refused(first.refused, first.columns).encode())
    kept = {"number": first.columns.heading(first.columns.column("number") or 0)}

    order = first.dates or DateOrder.DAY_FIRST
    read = read_rows(again, find_columns(again, given=kept), dates=order, today=TODAY)

    own = {line.number for line in read.lines}
    # Two rows that were each other's trouble may stand alone now, and an order be said.
    assert own <= {
        refused.row.texts[first.columns.column("number") or 0].strip() for refused in first.refused
    }
    assert set(read.columns.left_out) <= set(first.columns.left_out)


def _read(one: Messy):
    table = read_table(one.data)
    columns = find_columns(table, given=one.given)
    order = DateOrder(one.dates) if one.dates else None
    return read_rows(table, columns, dates=order, today=TODAY)
