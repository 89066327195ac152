"""Changes made outside the program are found; what the program itself did never counts as one."""

import datetime as dt
import sqlite3
from contextlib import closing

import pytest

from dictate.entry.values import FindingValues
from dictate.store.animals import animal_to_part, merge_animals, undo_merge
from dictate.store.farms import animal_by_number, farm_by_name, rename_farm
from dictate.store.integrity import changed_outside
from dictate.store.past import take_in_past
from dictate.store.past_entries import PastLine
from dictate.store.roster import take_in_roster
from dictate.store.roster_lines import RosterLine
from dictate.store.roster_undo import undo_roster
from tests.deciding import confirm

ULCER = {"lesion": "sole ulcer", "foot": "LH", "claw": "outer"}


@pytest.fixture
def record(database, queue):
    """Three confirmed entries."""
    for entry in queue(*({"animal": number, "findings": [ULCER]} for number in ("1", "2", "3"))):
        with database.writing() as session:
            confirm(session, entry, by="Robin Field", sure=True)
    return database


def _look(database) -> list[str]:
    with database.reading() as session:
        return changed_outside(session)


def test_the_programs_own_work_is_whole(record) -> None:
    """Nothing is found where nothing was changed."""
    assert [] == _look(record)


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ("UPDATE finding SET lesion = 'no lesion' WHERE id = 2", "findings or actions in the record: 2"),
        ("DELETE FROM finding WHERE id = 2", "findings or actions in the record: 2"),
        ("UPDATE entry SET content = replace(content, 'LH', 'RH') WHERE id = 3", "1 entry is not as the history left it: 3"),
        ("UPDATE finding SET animal_id = (SELECT max(id) FROM animal) WHERE id = 2", "confirmed entry has another animal"),
        ("UPDATE entry SET animal_id = NULL WHERE id = 2", "confirmed entry has another animal"),
        ("UPDATE visit SET date = '2026-04-04' WHERE id = 1", "confirmed entries have another animal, visit"),
        ("UPDATE finding SET date = '2026-04-04' WHERE id = 2", "confirmed entry has another animal, visit"),
        ("UPDATE animal SET number = '999' WHERE number = '2'", "1 animal is not named as the history left it: 999: number was 2"),
        ("UPDATE animal SET eid = '999000000000001' WHERE number = '2'", "2: electronic number was none"),
        ("UPDATE animal SET ear_tag = 'NL 100000001' WHERE number = '2'", "2: ear tag was none"),
        ("UPDATE animal SET merged_into_id = 1 WHERE number = '2'", "2: animal that it turned out to be was none"),
        ("INSERT INTO animal (farm_id, number, status, on_roster) VALUES (1, '77', 'present', 0)", "77 is not known to it"),
        ("UPDATE farm SET name = 'Elder Farm'", "1 farm is not named as the history left it: 'Elder Farm' was 'Alder Farm'"),
        ("INSERT INTO farm (name) VALUES ('Elder Farm')", "'Elder Farm' is not known to it"),
        ("UPDATE event SET who = 'Somebody' WHERE id = 1", "history: events 1 to"),
        ("DELETE FROM event WHERE id = 2", "history: events"),
        ("DELETE FROM seal WHERE id = (SELECT max(id) FROM seal)", "no seal"),
        (
            "INSERT INTO event (at, who, kind, subject, subject_id, act) VALUES ('2026-03-02', 'x', 'x', 'farm', 1, 'x')",
            "history: 1 event after",
        ),
    ],
)  # fmt: skip
def test_a_change_by_another_program_is_found(record, change: str, found: str) -> None:
    """With the triggers out of the way, as somebody with the file can do."""
    base = sqlite3.connect(record.url.database)
    for (trigger,) in base.execute(
        "SELECT name FROM sqlite_master WHERE type = 'trigger'"
    ).fetchall():
        base.execute(f"DROP TRIGGER {trigger}")
    base.execute(change)
    base.commit()
    base.close()

    assert any(found in line for line in _look(record)), _look(record)


def _outside(database, change: str) -> None:
    with closing(sqlite3.connect(database.url.database)) as base:
        base.execute(change)
        base.commit()


def test_names_that_the_program_changed_are_no_change_outside(record) -> None:
    """Lists, new numbers, two that are one, parted again, a list taken back: and then one number by hand."""

    def list_comes(*lines: tuple[str, str], complete: bool = False) -> None:
        with record.writing() as session:
            farm = farm_by_name(session, "Alder Farm")
            read = [RosterLine(number=number, eid=eid) for number, eid in lines]
            take_in_roster(session, farm, read, by="x", complete=complete, sure=True, returned=True)
        assert [] == _look(record)

    one, two, three = (f"99900000000000{at}" for at in (1, 2, 3))
    list_comes(("1", one), ("20", two))
    list_comes(("20", one), ("1", two))  # they swap their numbers
    with record.writing() as session:
        farm = farm_by_name(session, "Alder Farm")
        merge_animals(
            session,
            animal_by_number(session, farm.id, "3").id,
            animal_by_number(session, farm.id, "1").id,
            by="x",
        )
    assert [] == _look(record)
    list_comes(("31", three), complete=True)
    with record.writing() as session:
        undo_roster(session, farm_by_name(session, "Alder Farm"), by="x")
    assert [] == _look(record)
    with record.writing() as session:
        rename_farm(session, farm_by_name(session, "Alder Farm"), " Oak Farm ", by="x")
        assert farm_by_name(session, "Oak Farm").name == "Oak Farm"
    assert [] == _look(record)
    with record.writing() as session:
        rename_farm(session, farm_by_name(session, "Oak Farm"), "Alder Farm", by="x")
    list_comes(("32", three))  # her row has the key of the one that was taken back
    with record.writing() as session:
        farm = farm_by_name(session, "Alder Farm")
        undo_merge(session, animal_to_part(session, farm, "3"), by="x")
        old = PastLine(date=dt.date(2020, 1, 2), number="88", findings=(FindingValues(**ULCER),))
        take_in_past(session, farm, [old], by="x", source="old.csv", new=True)
    assert [] == _look(record)

    _outside(record, f"UPDATE animal SET number = '33' WHERE eid = '{three}'")
    assert ["1 animal is not named as the history left it: 33: number was 32"] == _look(record)


def test_an_animal_taken_out_by_hand_is_missed(record) -> None:
    with record.writing() as session:
        farm = farm_by_name(session, "Elder Farm", make=True)
        take_in_roster(session, farm, [RosterLine(number=str(at)) for at in (50, 51)], by="x")
    _outside(record, "DELETE FROM animal WHERE number = '51'")

    assert ["1 animal is not named as the history left it: 51 is gone"] == _look(record)
