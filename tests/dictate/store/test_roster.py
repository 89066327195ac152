"""Rosters taken in, and taken in again: who is added, who leaves, who comes back."""

import datetime as dt
from typing import Any

import pytest
from sqlmodel import select

from dictate.errors import ConflictError, NotFoundError
from dictate.store.animals import set_status
from dictate.store.database import Database
from dictate.store.farms import farm_by_name
from dictate.store.integrity import changed_outside
from dictate.store.record_queries import animal_rows, finding_rows
from dictate.store.roster import ManyLeaveError, keep_columns, kept_columns, take_in_roster
from dictate.store.roster_lines import RosterChange, RosterLine
from dictate.store.roster_undo import undo_roster
from dictate.store.states import AnimalStatus
from dictate.store.tables import Animal
from dictate.store.visits import visit_for
from tests.deciding import amend, confirm
from tests.dictate.conftest import _put

EID_A, EID_B = "276000312345678", "276000312345679"
"""15 digits: ISO 11784 country code 276 and a national code, as ISO 3166 numbers countries."""


NOTHING = {"added": 0, "changed": 0, "renumbered": 0, "left": 0, "returned": 0}


def _change(database: Database, *lines: RosterLine, **asked: Any) -> RosterChange:
    with database.writing() as session:
        farm = farm_by_name(session, "Alder Farm", make=True)
        return take_in_roster(session, farm, lines, by="Robin Field", **asked)


def _take_in(database: Database, *lines: RosterLine, **asked: Any) -> dict[str, int]:
    return _change(database, *lines, **asked).model_dump()


def _numbers(database: Database) -> dict[str | None, tuple[str, str]]:
    with database.reading() as session:
        return {row.eid: (row.number, row.status) for row in animal_rows(session)}


def test_animals_that_swapped_numbers_keep_their_rows(database: Database) -> None:
    """The electronic number tells animals apart, even when two change numbers with each other."""
    _take_in(database, RosterLine(number="1", eid=EID_A), RosterLine(number="2", eid=EID_B))

    change = _take_in(
        database, RosterLine(number="2", eid=EID_A), RosterLine(number="1", eid=EID_B)
    )

    assert NOTHING | {"changed": 2, "renumbered": 2} == change
    assert {EID_A: ("2", "present"), EID_B: ("1", "present")} == _numbers(database)


def test_taking_the_same_roster_in_twice_changes_nothing(database: Database) -> None:
    """The second time there is nothing to add and nothing to change."""
    lines = [RosterLine(number="1", eid=EID_A, lactation=2), RosterLine(number="2")]
    _take_in(database, *lines)

    assert NOTHING == _take_in(database, *lines)


def test_complete_roster_lets_the_others_leave(database: Database) -> None:
    """Animals that a whole-herd file lacks stay in the database, off the roster."""
    _take_in(database, RosterLine(number="1", eid=EID_A), RosterLine(number="2", eid=EID_B))

    assert (
        1 == _take_in(database, RosterLine(number="2", eid=EID_B), complete=True, sure=True)["left"]
    )
    assert {EID_A: ("1", "off the roster"), EID_B: ("2", "present")} == _numbers(database)


def test_number_of_another_animal_is_refused(database: Database) -> None:
    """A number cannot silently move to a new animal while its bearer is still in the herd."""
    _take_in(database, RosterLine(number="1", eid=EID_A))

    change = _change(database, RosterLine(number="1", eid=EID_B), RosterLine(number="7"))

    assert "borne by another animal" in change.undecided["1"]
    assert 1 == change.added


def test_a_complete_list_that_takes_many_off_asks_first(database: Database) -> None:
    """More than a tenth, or an empty list, is only taken when somebody is sure; else nothing changes."""
    _take_in(database, *(RosterLine(number=str(at)) for at in range(1, 21)))

    for left in ([], [RosterLine(number=str(at)) for at in range(1, 18)]):
        with pytest.raises(ManyLeaveError, match="of the 20 on the roster off") as caught:
            _take_in(database, *left, complete=True)
        assert "--yes" in caught.value.remedy
        assert all(status == "present" for _, status in _rows(database))
    lines = [RosterLine(number=str(at)) for at in range(1, 19)]
    assert 2 == _take_in(database, *lines, complete=True)["left"]
    assert 18 == _take_in(database, complete=True, sure=True)["left"]


def _rows(database: Database) -> list[tuple[str, str]]:
    with database.reading() as session:
        return [(row.number, row.status) for row in animal_rows(session)]


@pytest.mark.parametrize(
    ("was", "line"),
    [
        ({"eid": EID_A}, {"eid": EID_A}),
        ({"ear_tag": "DE 05 3890 1234"}, {"ear_tag": "DE0538901234"}),
        ({"eid": EID_A, "ear_tag": "DE 05 1"}, {"ear_tag": "DE 05 1"}),
    ],
)
def test_an_animal_back_on_the_list_is_the_same_animal(
    database: Database, was: dict[str, str], line: dict[str, str]
) -> None:
    """Her electronic number or ear tag brings her history back, whatever number she bears now."""
    _take_in(database, RosterLine(number="1", **was), RosterLine(number="2"))
    _take_in(database, RosterLine(number="2"), complete=True, sure=True)

    change = _take_in(database, RosterLine(number="9", **line), RosterLine(number="2"))

    assert NOTHING | {"changed": 1, "renumbered": 1, "returned": 1} == change
    assert [("2", "present"), ("9", "present")] == sorted(_rows(database))


@pytest.mark.parametrize(("again", "animals"), [(True, 1), (False, 2)])
def test_only_her_number_comes_back(database: Database, again: bool, animals: int) -> None:
    """Whether it is the same animal nobody can know: a person says it, and until then she waits."""
    _take_in(database, RosterLine(number="1"))
    _take_in(database, complete=True, sure=True)

    change = _change(database, RosterLine(number="1"), RosterLine(number="2"))
    assert ("1",) == change.came_back
    assert 1 == change.added

    _take_in(database, RosterLine(number="1"), returned=again)
    assert animals == sum(number == "1" for number, _ in _rows(database))


def test_notes_of_an_animal_that_was_away_become_hers(database: Database) -> None:
    """A number confirmed from a note while its animal was off the roster is that animal, once back."""
    _take_in(database, RosterLine(number="1", eid=EID_A))
    _take_in(database, complete=True, sure=True)
    with database.writing() as session:
        farm = farm_by_name(session, "Alder Farm")
        session.add(Animal(farm_id=farm.id or 0, number="1"))

    assert 1 == _take_in(database, RosterLine(number="1", eid=EID_A))["returned"]

    with database.reading() as session:
        noted = session.exec(select(Animal).where(Animal.eid == None)).one()  # noqa: E711
        assert EID_A == session.get_one(Animal, noted.merged_into_id).eid


def test_another_ear_tag_is_another_animal(database: Database) -> None:
    """Two cows with one number never become one without a word; a tag without its country is the same."""
    _take_in(database, RosterLine(number="1", ear_tag="NL 1234 56789"))

    assert _change(database, RosterLine(number="1", ear_tag="NL 9999 99999")).undecided
    assert 1 == _take_in(database, RosterLine(number="1", ear_tag="123456789"))["changed"]


def test_an_animal_that_left_and_the_one_with_her_number_now(database: Database) -> None:
    """A list of all times: the sold cow's line does not touch the cow that bears her number."""
    _take_in(database, RosterLine(number="1", name="Bella"))

    lines = [
        RosterLine(number="1", name="Rosa", status="sold"),
        RosterLine(number="1", name="Bella"),
    ]
    _take_in(database, *lines)

    assert [("1", "present"), ("1", "sold")] == sorted(_rows(database))


def test_what_was_said_of_the_columns_is_kept_for_the_farm(database: Database) -> None:
    """The next list of the same farm needs no word; another farm's does."""
    with database.writing() as session:
        farm = farm_by_name(session, "Alder Farm", make=True)
        keep_columns(session, farm, {"plate": "number"}, by="Robin Field")
        other = farm_by_name(session, "Elm Farm", make=True)
        assert {"plate": "number"} == kept_columns(session, farm.name)
        assert {} == kept_columns(session, other.name)


def test_an_old_entry_stays_with_its_animal_when_numbers_were_swapped(database, queue) -> None:
    """Putting a zone right later does not hand the finding to the cow that bears the number today."""
    _take_in(database, RosterLine(number="1", eid=EID_A), RosterLine(number="2", eid=EID_B))
    (entry,) = queue({"animal": "1", "findings": [{"lesion": "sole ulcer", "foot": "LH"}]})
    with database.writing() as session:
        confirm(session, entry, by="Robin Field")
    _take_in(database, RosterLine(number="2", eid=EID_A), RosterLine(number="1", eid=EID_B))

    with database.writing() as session:
        amend(session, entry, {"findings.0.zone": 4}, by="Robin Field")

    with database.reading() as session:
        (row,) = finding_rows(session)
        assert EID_A == session.get_one(Animal, row.animal_id).eid
    with database.writing() as session:
        amend(session, entry, {"animal": "1"}, by="Robin Field", sure=True)
    with database.writing() as session:
        amend(session, entry, {"animal": "2"}, by="Robin Field", sure=True)
    with database.reading() as session:
        (row,) = finding_rows(session)
        assert EID_A == session.get_one(Animal, row.animal_id).eid, (
            "another number is looked up anew"
        )


@pytest.mark.parametrize("complete", [False, True])
@pytest.mark.parametrize(("was", "comes"), [("412", "0412"), ("0412", "412"), ("0412", "00412")])
def test_a_number_but_for_zeros_is_asked(
    database: Database, was: str, comes: str, complete: bool
) -> None:
    """Neither a second animal nor a new number for the first comes about silently, and nobody leaves."""
    _take_in(database, RosterLine(number=was), RosterLine(number="7"))
    lines = RosterLine(number=comes), RosterLine(number="7")

    change = _change(database, *lines, complete=complete, sure=True)

    assert (comes,) == change.but_for_zeros
    assert NOTHING == change.model_dump()
    assert [("7", "present"), (was, "present")] == sorted(_rows(database), key=lambda row: row[0][-1] == "2")  # fmt: skip

    other = _take_in(database, *lines, zeros=False)
    assert 1 == other["added"]
    with database.writing() as session:
        undo_roster(session, farm_by_name(session, "Alder Farm"), by="Robin Field")
    same = _take_in(database, *lines, zeros=True, complete=complete, sure=True)
    assert NOTHING | {"changed": 1, "renumbered": 1} == same
    assert {comes, "7"} == {number for number, _ in _rows(database)}


def test_two_numbers_of_one_list_but_for_zeros(database: Database) -> None:
    """Both wait; said to be two they are two, and the same list asks no more."""
    lines = RosterLine(number="174", eid=EID_A), RosterLine(number="0174", eid=EID_B)

    assert {"174", "0174"} == set(_change(database, *lines).but_for_zeros)
    assert {"174", "0174"} == set(_change(database, *lines, zeros=True).undecided)
    assert 2 == _take_in(database, *lines, zeros=False)["added"]
    assert not _change(database, *lines).undecided


def test_a_lifelong_number_answers_by_itself(database: Database) -> None:
    """Zeros that a spreadsheet lost do not matter where her electronic number is there."""
    _take_in(database, RosterLine(number="0412", eid=EID_A))

    assert 1 == _take_in(database, RosterLine(number="412", eid=EID_A))["renumbered"]


def test_a_list_is_taken_back_as_one_act(database: Database) -> None:
    """New animals go, those that left are back, numbers and values are as before."""
    _take_in(
        database, RosterLine(number="1", eid=EID_A, lactation=2), RosterLine(number="2"),
        RosterLine(number="3", eid=EID_B),
    )  # fmt: skip
    with database.reading() as session:
        before = animal_rows(session)
    _take_in(
        database, RosterLine(number="3", eid=EID_A, lactation=3), RosterLine(number="4"),
        RosterLine(number="1", eid=EID_B), complete=True, sure=True,
    )  # fmt: skip

    with database.writing() as session:
        done = undo_roster(session, farm_by_name(session, "Alder Farm"), by="Robin Field")

    assert {"removed": 1, "kept": 0, "put_back": 3} == done.model_dump()
    with database.reading() as session:
        assert before == animal_rows(session)
        assert [] == changed_outside(session)
    with database.writing() as session:
        farm = farm_by_name(session, "Alder Farm")
        assert 3 == undo_roster(session, farm, by="Robin Field").removed
        with pytest.raises(NotFoundError):
            undo_roster(session, farm, by="Robin Field")


def test_what_came_after_a_list_stays(database: Database) -> None:
    """A status that a person set since, and a new animal that has an entry by now."""
    _take_in(database, RosterLine(number="1", lactation=1))
    _take_in(database, RosterLine(number="1", lactation=2), RosterLine(number="2", eid=EID_A))
    with database.writing() as session:
        animals = {one.number: one.id for one in session.exec(select(Animal)).all()}
        set_status(session, animals["1"], AnimalStatus.SOLD, by="Robin Field")
        visit = visit_for(session, farm="Alder Farm", trimmer="x", date=dt.date(2026, 3, 2))
        content = {"animal": "2", "findings": [{"lesion": "sole ulcer", "foot": "LH"}]}
        confirm(session, _put(session, visit.id, content, "cow"), by="x")

    with database.writing() as session:
        done = undo_roster(session, farm_by_name(session, "Alder Farm"), by="Robin Field")

    assert {"removed": 0, "kept": 1, "put_back": 1} == done.model_dump()
    with database.reading() as session:
        rows = {one.number: one for one in session.exec(select(Animal)).all()}
        assert (AnimalStatus.SOLD, 1) == (rows["1"].status, rows["1"].lactation)
        assert (False, None) == (rows["2"].on_roster, rows["2"].eid)
        assert [rows["2"].id] == [row.animal_id for row in finding_rows(session)]


def test_a_number_that_is_needed_since_stops_it(database: Database) -> None:
    """Whole or not at all: nothing goes back where two animals would bear one number."""
    _take_in(database, RosterLine(number="1", eid=EID_A))
    _take_in(database, RosterLine(number="2", eid=EID_A))
    with database.writing() as session:
        session.add(Animal(farm_id=farm_by_name(session, "Alder Farm").id, number="1"))

    with (
        pytest.raises(ConflictError, match="1: another animal bears this number"),
        database.writing() as session,
    ):
        undo_roster(session, farm_by_name(session, "Alder Farm"), by="Robin Field")

    assert {"1", "2"} == {number for number, _ in _rows(database)}


def test_an_animal_of_notes_that_a_list_joined_is_parted(database: Database) -> None:
    """Joining what was noted while she was away belongs to the list, and goes back with it."""
    _take_in(database, RosterLine(number="1", eid=EID_A))
    _take_in(database, complete=True, sure=True)
    with database.writing() as session:
        session.add(Animal(farm_id=farm_by_name(session, "Alder Farm").id, number="1"))
    _take_in(database, RosterLine(number="1", eid=EID_A))

    with database.writing() as session:
        undo_roster(session, farm_by_name(session, "Alder Farm"), by="Robin Field")

    with database.reading() as session:
        animals = session.exec(select(Animal)).all()
        assert [None, None] == [one.merged_into_id for one in animals]
        assert {(EID_A, "off the roster"), (None, "present")} == {
            (one.eid, str(one.status)) for one in animals
        }
