"""A visit taken in under a wrong farm or day is moved as one act, and moved back by one undo."""

import datetime as dt

import pytest
from sqlmodel import select

from dictate.errors import NotFoundError, ReviewError
from dictate.review import acts
from dictate.store.farms import farm_by_name
from dictate.store.history import snapshot
from dictate.store.record_tables import Finding, FollowUp
from dictate.store.tables import Animal, Clip, Entry, Visit
from dictate.store.visits import find_visit, visit_for

MONDAY = dt.date(2026, 3, 2)


def states(database) -> list[dict]:
    with database.reading() as session:
        return [snapshot(one) for one in session.exec(select(Entry).order_by(Entry.id)).all()]


def animals(database) -> list[tuple[str, str | None]]:
    return [(one["state"], one["content"]["animal"]) for one in states(database)]


@pytest.fixture
def birch(database) -> None:
    """A second farm whose roster holds one of the numbers."""
    with database.writing() as session:
        farm = farm_by_name(session, "Birch Farm", make=True)
        session.add(Animal(farm_id=farm.id, number="412", on_roster=True))


def test_numbers_are_looked_up_at_the_right_farm(database, settings, read_day, birch) -> None:
    """Confirmed ones stay where the number is known there; the others wait again and are marked."""
    visit = read_day(
        "cow four twelve left hind sole ulcer", "cow nine all good", "cow four thirteen all good",
        roster=("412", "9", "413"),
    )  # fmt: skip
    first, second, _ = (one for one in range(1, 4))
    for entry in (first, second):
        acts.confirm(database, settings, entry, by="Kim")
    before = states(database)

    done = acts.move(database, settings, visit, by="Kim", farm="Birch Farm")

    assert [("confirmed", "412"), ("waiting", "9"), ("waiting", "413")] == animals(database)
    assert ["animal-not-on-roster"] in (one["content"]["marks"] for one in states(database)[1:])
    assert "3 notes moved to Birch Farm, 2 Mar 2026" in done.told
    assert "Not on its roster: 413, 9" in done.told
    assert "1 that was confirmed waits again" in done.told
    with database.reading() as session:
        (row,) = session.exec(select(Finding)).all()
        birch_id = farm_by_name(session, "Birch Farm").id
        assert (row.farm_id, session.get_one(Animal, row.animal_id).farm_id) == (birch_id, birch_id)
        with pytest.raises(NotFoundError):
            find_visit(session, farm="Alder Farm")

    acts.undo_last(database, settings, by="Kim")

    assert before == states(database)
    with database.reading() as session:
        assert find_visit(session, farm="Alder Farm").id == visit
        assert {visit} == set(session.exec(select(Clip.visit_id)).all())


def test_days_that_were_said_follow_the_day_of_the_visit(database, settings, read_day) -> None:
    """Counted by hand: two weeks after Tuesday, and the Friday that comes after it."""
    visit = read_day("cow nine wrapped left hind wrap off friday look again in two weeks")
    acts.amend(database, settings, 1, {"remark": "kicks"}, by="Kim")
    acts.confirm(database, settings, 1, by="Kim")

    acts.move(database, settings, visit, by="Kim", date=MONDAY + dt.timedelta(days=1))

    with database.reading() as session:
        due = dict(session.exec(select(FollowUp.kind, FollowUp.due_on)).all())
    assert due == {"wrap off": dt.date(2026, 3, 6), "look again": dt.date(2026, 3, 17)}


@pytest.mark.parametrize("place", [{"farm": "Birch Farm"}, {"date": dt.date(2026, 3, 3)}])
def test_moving_and_undoing_it_keep_the_numbers_of_what_is_due(
    database, settings, read_day, birch, place
) -> None:
    """Who ticks a number off that was read before the move means the same note after it."""
    visit = read_day(
        "cow four twelve look again in two weeks",
        "cow four twelve wrapped left hind wrap off in three days vet",
        roster=("412",),
    )
    for entry in (1, 2):
        acts.confirm(database, settings, entry, by="Kim")

    def numbers() -> dict[str, int]:
        with database.reading() as session:
            return dict(session.exec(select(FollowUp.kind, FollowUp.id)).all())

    before = numbers()
    assert len(before) >= 2
    acts.move(database, settings, visit, by="Kim", **place)
    assert before == numbers()
    acts.undo_last(database, settings, by="Kim")
    assert before == numbers()


def test_a_part_is_moved_and_what_carried_over_it_follows(database, settings, read_day) -> None:
    """The note that stays takes the animal before it; the one that goes joins the visit there."""
    visit = read_day("cow four twelve all good", "cow nine all good", "left hind sole ulcer")
    there = read_day("cow seven all good", "right hind clean", date=MONDAY + dt.timedelta(days=1))
    with database.reading() as session:
        second = session.exec(
            select(Clip.id).where(Clip.visit_id == visit, Clip.file_name == "1.wav")
        ).one()

    done = acts.move(
        database, settings, visit, by="Kim", date=MONDAY + dt.timedelta(days=1), clips=[second]
    )

    assert done.visit_id == there
    assert ["412", "9", "412", "7", "9"] == [animal for _, animal in animals(database)]
    assert {one.before.animal for one in done.done.also} == {"9", "7"}
    acts.undo(database, settings, 2, by="Kim")
    assert ["412", "9", "9", "7", "7"] == [animal for _, animal in animals(database)]


def test_sound_that_was_not_heard_yet_moves_and_comes_back(database, settings, read_day) -> None:
    visit = read_day("cow nine all good")
    with database.writing() as session:
        session.add(
            Clip(
                sha256="unheard", visit_id=visit, file_name="9.wav", suffix=".wav",
                seconds=1, source_rate=16_000, channels=1,
            )
        )  # fmt: skip
    done = acts.move(database, settings, visit, by="Kim", farm="Birch Farm")
    assert done.clips == 2
    acts.undo_last(database, settings, by="Kim")
    with database.reading() as session:
        assert [visit, visit] == session.exec(select(Clip.visit_id)).all()


def test_moves_that_are_none_are_refused(database, settings, read_day) -> None:
    visit = read_day("cow nine all good")
    with pytest.raises(ReviewError, match="already"):
        acts.move(database, settings, visit, by="Kim", farm="Alder Farm")
    with pytest.raises(NotFoundError, match="none of these notes"):
        acts.move(database, settings, visit, by="Kim", farm="Birch Farm", clips=[99])
    with pytest.raises(NotFoundError, match="no visit 99"):
        acts.move(database, settings, 99, by="Kim", farm="Birch Farm")
    with database.reading() as session:
        assert [visit] == session.exec(select(Visit.id)).all()


def test_what_joined_a_note_meanwhile_goes_back_with_it(database, settings, read_day) -> None:
    """Undone by one person after another had typed two entries there and taken them back."""
    visit = read_day("left hind clean", "correction zone three", "cow nine all good")
    before = states(database)
    acts.move(database, settings, visit, by="Robin", farm="Birch Farm")
    acts.put_words_right(
        database, settings, 1, "cow nine clean next cow twenty left hind sole ulcer", by="Kim"
    )
    acts.undo_last(database, settings, by="Kim")

    acts.undo_last(database, settings, by="Robin")

    *first, added = states(database)
    assert before == first
    assert (added["state"], added["visit_id"]) == ("rejected", visit)


def test_clips_that_were_not_heard_yet_are_moved_and_moved_back(database, settings) -> None:
    """Nothing of the queue changes by it, and the undo says so."""
    with database.writing() as session:
        visit = visit_for(session, farm="Alder Farm", trimmer="Robin Field", date=MONDAY).id
        session.add(
            Clip(
                sha256="a", visit_id=visit, file_name="a.wav", suffix=".wav", seconds=1,
                source_rate=16_000, channels=1,
            )
        )  # fmt: skip
    acts.move(database, settings, visit, by="Kim", farm="Birch Farm")

    acts.undo_last(database, settings, by="Kim")

    with database.reading() as session:
        assert visit == session.exec(select(Clip.visit_id)).one()
