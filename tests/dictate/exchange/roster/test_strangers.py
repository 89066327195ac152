"""Rosters of strangers: what their farmers hope for, or a reason; never an animal that is none."""

import pytest

from dictate.errors import RosterError
from dictate.exchange.roster import find_columns, read_rows, read_table
from dictate.store.database import Database
from dictate.store.farms import farm_by_name
from dictate.store.roster import take_in_roster
from tests.dictate.exchange.roster.newcomers import all_newcomers
from tests.dictate.exchange.roster.strangers import TODAY, Stranger, all_strangers

ALL = [*all_strangers(), *all_newcomers()]
NOT_AS_HOPED = {
    "glued.csv": {"81"},
    "quotes.csv": {"113"},
    "remarks.csv": {"203", "204", "205"},
}
"""Rows that are refused with a reason although a person could read them."""


@pytest.mark.parametrize("one", ALL, ids=lambda one: one.name)
def test_every_row_is_an_animal_or_listed(database: Database, one: Stranger) -> None:
    """Each animal with all its fields, the others listed, and what is doubtful is not taken."""
    table = read_table(one.data)
    columns = find_columns(table, given=one.given)
    if one.asked:
        with pytest.raises(RosterError, match=one.asked):
            read_rows(table, columns, today=TODAY)
        return
    read = read_rows(table, columns, today=TODAY)
    with database.writing() as session:
        farm = farm_by_name(session, "Alder Farm", make=True)
        change = take_in_roster(session, farm, read.lines, by="Robin Field")

    taken = {line.number: line for line in read.lines if line.number not in change.undecided}
    expected = set(one.hoped) - one.doubtful - NOT_AS_HOPED.get(one.name, set())
    assert expected == set(taken)
    for number in expected:
        said = one.hoped[number]
        assert said == {name: getattr(taken[number], name) for name in said}, number
    told = [" ".join(refused.row.texts) for refused in read.refused] + list(change.undecided)
    for number in set(one.hoped) - expected:
        assert any(number in text for text in told), f"{number} is not listed"
    for word in one.none:
        assert any(word in text for text in told), f"{word!r} is not listed"


def test_there_are_fifty() -> None:
    """As many as the documentation says."""
    assert len(ALL) >= 50
    assert len({one.name for one in ALL}) == len(ALL)
