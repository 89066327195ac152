"""Two animals that turn out to be one, and animals that leave the herd."""

import datetime as dt

import pytest

from dictate.errors import ConflictError, NotFoundError
from dictate.store.animals import merge_animals, set_status, undo_merge
from dictate.store.farms import animal_by_number
from dictate.store.record_queries import Scope, animal_rows, finding_rows, follow_up_rows
from dictate.store.states import AnimalStatus
from dictate.store.tables import Animal
from tests.deciding import confirm

ULCER = {"findings": [{"lesion": "sole ulcer", "foot": "LH"}]}
ASKED = ULCER | {
    "follow_ups": [{"kind": "look again", "in_days": 7, "date": "2026-03-09", "when": "in a week"}]
}
LATER = dt.date(2026, 3, 9)


@pytest.fixture
def two(database, queue):
    """Animals 412 (a follow-up is due) and 421 (seen a week later), each with a confirmed ulcer."""
    entries = queue(ASKED | {"animal": "412"}) + queue(ULCER | {"animal": "421"}, date=LATER)
    with database.writing() as session:
        for entry in entries:
            confirm(session, entry, by="Robin Field")
        return [animal.id for animal in sorted(animal_rows(session), key=lambda a: a.number)]


def state(session):
    return animal_rows(session), finding_rows(session), follow_up_rows(session)


def test_merging_shows_one_history_and_undoing_restores_every_field(database, two):
    with database.writing() as session:
        before = state(session)
        merge_animals(session, two[1], two[0], by="Robin Field")
        findings = finding_rows(session, Scope(animal_id=two[0]))
        assert len(findings) == 2
        assert {row.animal_id for row in findings} == {two[0]}
        (follow_up,) = follow_up_rows(session)
        assert follow_up.done_on == LATER, "the note of the other number settles it"
        undo_merge(session, two[1], by="Robin Field")
        assert state(session) == before


def test_a_note_for_the_merged_number_goes_to_the_animal_it_is(database, queue, two):
    (entry,) = queue(ULCER | {"animal": "421"}, date=dt.date(2026, 4, 1))
    with database.writing() as session:
        merge_animals(session, two[1], two[0], by="Robin Field")
        confirm(session, entry, by="Robin Field")
        assert len(finding_rows(session, Scope(animal_id=two[0]))) == 3
        assert animal_by_number(session, 1, "421").id == two[0]


def test_merging_in_a_row_is_undone_step_by_step(database, queue, two):
    (entry,) = queue(ULCER | {"animal": "7"})
    with database.writing() as session:
        confirm(session, entry, by="Robin Field")
        seven = animal_by_number(session, 1, "7").id
        before = state(session)
        merge_animals(session, two[1], two[0], by="Robin Field")
        merge_animals(session, two[0], seven, by="Robin Field")
        assert len(finding_rows(session, Scope(animal_id=seven))) == 3
        undo_merge(session, two[0], by="Robin Field")
        assert len(finding_rows(session, Scope(animal_id=two[0]))) == 2
        undo_merge(session, two[1], by="Robin Field")
        assert state(session) == before


def test_merges_that_cannot_be_are_refused(database, two):
    with database.writing() as session:
        with pytest.raises(ConflictError, match="already"):
            merge_animals(session, two[0], two[0], by="Robin")
        with pytest.raises(NotFoundError):
            merge_animals(session, 999, two[0], by="Robin")
        with pytest.raises(ConflictError, match="not merged"):
            undo_merge(session, two[0], by="Robin")
        session.get(Animal, two[0]).eid = "276000312345678"
        session.get(Animal, two[1]).eid = "276000312345679"
        with pytest.raises(ConflictError, match="different electronic numbers"):
            merge_animals(session, two[1], two[0], by="Robin")


@pytest.mark.parametrize("status", [AnimalStatus.SOLD, AnimalStatus.DEAD, AnimalStatus.OFF_ROSTER])
def test_an_animal_that_left_keeps_its_history_and_frees_its_number(database, queue, two, status):
    (entry,) = queue(ULCER | {"animal": "412"}, date=dt.date(2026, 5, 1))
    with database.writing() as session:
        set_status(session, two[0], status, by="Robin Field")
        assert len(finding_rows(session, Scope(animal_id=two[0]))) == 1
        confirm(session, entry, by="Robin Field")
        new = animal_by_number(session, 1, "412")
        assert new.id not in two
        with pytest.raises(ConflictError, match="another animal bears"):
            set_status(session, two[0], AnimalStatus.PRESENT, by="Robin Field")
