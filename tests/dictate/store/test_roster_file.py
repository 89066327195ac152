"""Rosters: files in many shapes, and taking them in again."""

from pathlib import Path

import pytest

from dictate.errors import RosterError
from dictate.store.database import Database
from dictate.store.queries import farm_by_name
from dictate.store.record_queries import animal_rows
from dictate.store.roster import RosterLine, read_roster, take_in_roster

EID_A, EID_B = "276000312345678", "276000312345679"
"""15 digits: ISO 11784 country code 276 and a national code, as ISO 3166 numbers countries."""


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("number,eid\n412,\n7,\n", ["412", "7"]),
        ("Number;Ear tag\n412;DE 1\n", ["412"]),
        ("cow\tname\n 412 \tBella\n", ["412"]),
        ("412\n413\n\n", ["412", "413"]),
        ("\ufeffManagement_Number\n0412\n", ["0412"]),
        ("lactation,animal,colour\n3,412,red\n", ["412"]),
    ],
)
def test_shapes_of_a_roster_file(tmp_path: Path, text: str, numbers: list[str]) -> None:
    """Commas, semicolons, tabs, headings in many words and files of bare numbers are understood."""
    path = tmp_path / "roster.csv"
    path.write_text(text, encoding="utf-8")

    assert numbers == [line.number for line in read_roster(path)]


def test_all_faults_are_named_at_once(tmp_path: Path) -> None:
    """Every wrong line is in the one message."""
    path = tmp_path / "roster.csv"
    path.write_text("number,eid,lactation\n412,12,\n413,,many\n414,,\n414,,\n", encoding="utf-8")

    with pytest.raises(RosterError) as caught:
        read_roster(path)

    for part in ("line 2, eid", "line 3, lactation", "number 414 stands twice", str(path)):
        assert part in caught.value.line


@pytest.mark.parametrize("name", ["missing.csv", "."])
def test_unreadable_file(tmp_path: Path, name: str) -> None:
    """A path that is no file is named."""
    with pytest.raises(RosterError, match="cannot be read"):
        read_roster(tmp_path / name)


def _take_in(database: Database, *lines: RosterLine, complete: bool = False) -> dict[str, int]:
    with database.writing() as session:
        farm = farm_by_name(session, "Alder Farm", make=True)
        return take_in_roster(
            session, farm, lines, by="Robin Field", complete=complete
        ).model_dump()


def _numbers(database: Database) -> dict[str | None, tuple[str, str]]:
    with database.reading() as session:
        return {row.eid: (row.number, row.status) for row in animal_rows(session)}


def test_animals_that_swapped_numbers_keep_their_rows(database: Database) -> None:
    """The electronic number tells animals apart, even when two change numbers with each other."""
    _take_in(database, RosterLine(number="1", eid=EID_A), RosterLine(number="2", eid=EID_B))

    change = _take_in(
        database, RosterLine(number="2", eid=EID_A), RosterLine(number="1", eid=EID_B)
    )

    assert {"added": 0, "changed": 2, "renumbered": 2, "left": 0} == change
    assert {EID_A: ("2", "present"), EID_B: ("1", "present")} == _numbers(database)


def test_taking_the_same_roster_in_twice_changes_nothing(database: Database) -> None:
    """The second time there is nothing to add and nothing to change."""
    lines = [RosterLine(number="1", eid=EID_A, lactation=2), RosterLine(number="2")]
    _take_in(database, *lines)

    assert {"added": 0, "changed": 0, "renumbered": 0, "left": 0} == _take_in(database, *lines)


def test_complete_roster_lets_the_others_leave(database: Database) -> None:
    """Animals that a whole-herd file lacks stay in the database, off the roster."""
    _take_in(database, RosterLine(number="1", eid=EID_A), RosterLine(number="2", eid=EID_B))

    assert 1 == _take_in(database, RosterLine(number="2", eid=EID_B), complete=True)["left"]
    assert {EID_A: ("1", "off the roster"), EID_B: ("2", "present")} == _numbers(database)


def test_number_of_another_animal_is_refused(database: Database) -> None:
    """A number cannot silently move to a new animal while its bearer is still in the herd."""
    _take_in(database, RosterLine(number="1", eid=EID_A))

    with pytest.raises(RosterError, match="borne by another animal"):
        _take_in(database, RosterLine(number="1", eid=EID_B))
