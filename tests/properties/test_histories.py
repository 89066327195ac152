"""Any sequence of visits, corrections, moves, lists, departures, returns, merges and undo: every animal keeps her whole history.

The model beside it is a plain dictionary of what each cow was given, told apart as a person at the
chute would: by the cow herself, whatever number she bears. Checked after every step: each confirmed
finding is found under its own cow's animal, nothing is counted twice or lost, the kept cases equal
those worked out afresh, and the history is as it was sealed.
"""

import datetime as dt
import itertools
import tempfile
from dataclasses import replace
from operator import attrgetter
from pathlib import Path

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from sqlmodel import Session, func, select

from dictate.entry.values import FindingValues
from dictate.record.cases import cases_of
from dictate.record.picture import picture_of_rows
from dictate.review import acts
from dictate.store.animals import merge_animals, undo_merge
from dictate.store.database import open_database
from dictate.store.farms import farm_by_name
from dictate.store.herd import herd_picture
from dictate.store.integrity import changed_outside
from dictate.store.past import take_in_past
from dictate.store.past_entries import PastLine
from dictate.store.record_queries import Scope, action_rows, animal_rows, finding_rows, visit_rows
from dictate.store.record_tables import HerdCase
from dictate.store.roster import take_in_roster
from dictate.store.roster_lines import RosterLine
from dictate.store.roster_undo import undo_roster
from dictate.store.states import EntryState
from dictate.store.tables import Animal, Entry
from dictate.store.visits import visit_for
from tests.deciding import SETTINGS, amend, confirm, undo
from tests.dictate.conftest import _put

LESIONS = ("sole ulcer", "digital dermatitis", "no lesion")
COWS = tuple(range(6))
FARM = "Alder Farm"


def eid(cow: int) -> str:
    return f"99900000000000{cow}"


class Herd(RuleBasedStateMachine):
    """Six cows with transponders, some on the list of the day, some away."""

    @initialize()
    def begin(self) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.database = open_database(self.address())
        self.number = {cow: str(100 + cow) for cow in COWS}
        self.there: set[int] = set()
        self.given: dict[int, int] = {}
        """Confirmed entry to the cow that it is about."""
        self.undone: list[int] = []
        self.days = itertools.count()
        self.list_of(set(COWS))

    def address(self) -> str:
        """Of an empty database."""
        return f"sqlite:///{Path(self.folder.name) / 'record.db'}"

    def list_of(self, cows: set[int]) -> None:
        lines = [RosterLine(number=self.number[cow], eid=eid(cow)) for cow in sorted(cows)]
        with self.database.writing() as session:
            farm = farm_by_name(session, FARM, make=True)
            change = take_in_roster(session, farm, lines, by="x", complete=True, sure=True)
        assert not change.undecided
        self.there = cows

    @rule(cows=st.sets(st.sampled_from(COWS), min_size=1))
    def a_complete_list_comes(self, cows: set[int]) -> None:
        """Some leave and some are back."""
        self.list_of(cows)

    @rule(cows=st.sets(st.sampled_from(COWS), min_size=1), strangers=st.integers(0, 2))
    def a_wrong_list_comes_and_is_taken_back(self, cows: set[int], strangers: int) -> None:
        """Another farm's animals in it, some of ours renumbered; perhaps a note is confirmed in between."""
        lines = [RosterLine(number=f"8{self.number[cow]}", eid=eid(cow)) for cow in sorted(cows)]
        lines += [RosterLine(number=f"7{at}", eid=f"99900000000010{at}") for at in range(strangers)]
        with self.database.writing() as session:
            farm = farm_by_name(session, FARM, make=True)
            before = animal_rows(session, farm_id=farm.id)
            take_in_roster(session, farm, lines, by="x", complete=True, sure=True)
        cow = min(cows)
        self.confirm_for(cow, f"8{self.number[cow]}")
        with self.database.writing() as session:
            farm = farm_by_name(session, FARM)
            done = undo_roster(session, farm, by="x")
            assert strangers == done.removed
            assert before == animal_rows(session, farm_id=farm.id)

    @rule(cow=st.sampled_from(COWS), lesion=st.sampled_from(LESIONS[:2]), twice=st.booleans())
    def a_list_of_the_past_comes(self, cow: int, lesion: str, twice: bool) -> None:
        """Years before the first visit, also for a cow that is away; the second time it adds nothing."""
        date = dt.date(2020, 1, 1) + dt.timedelta(days=next(self.days))
        line = PastLine(
            date=date, eid=eid(cow), findings=(FindingValues(lesion=lesion, foot="LH"),)
        )
        for turn in range(1 + twice):
            with self.database.writing() as session:
                farm = farm_by_name(session, FARM)
                change = take_in_past(session, farm, [line], by="x", source="old.csv")
            assert (change.added, change.known) == (1 - turn, turn)
        with self.database.reading() as session:
            newest = session.exec(select(func.max(Entry.id))).one()
        self.given[newest] = cow

    @precondition(lambda self: len(self.there) > 1)
    @rule(data=st.data())
    def two_swap_numbers(self, data: st.DataObject) -> None:
        one, other = data.draw(st.permutations(sorted(self.there)))[:2]
        self.number[one], self.number[other] = self.number[other], self.number[one]
        self.list_of(self.there)

    @precondition(lambda self: self.there)
    @rule(data=st.data(), lesion=st.sampled_from(LESIONS), foot=st.sampled_from(("LH", "RH")))
    def a_note_is_confirmed(self, data: st.DataObject, lesion: str, foot: str) -> None:
        cow = data.draw(st.sampled_from(sorted(self.there)))
        self.confirm_for(cow, self.number[cow], lesion, foot)

    def confirm_for(
        self, cow: int, number: str, lesion: str = LESIONS[0], foot: str = "LH"
    ) -> None:
        date = dt.date(2026, 1, 1) + dt.timedelta(days=next(self.days))
        content = {
            "animal": number, "findings": [{"lesion": lesion, "foot": foot}],
            "follow_ups": [{"kind": "look again", "in_days": 7, "date": str(date + dt.timedelta(days=7))}],
        }  # fmt: skip
        with self.database.writing() as session:
            visit = visit_for(session, farm=FARM, trimmer="x", date=date)
            entry = _put(session, visit.id, content, "cow")
            confirm(session, entry, by="x", sure=True)
        self.given[entry] = cow

    @precondition(lambda self: self.given)
    @rule(data=st.data())
    def the_newest_is_undone(self, data: st.DataObject) -> None:
        entry = max(self.given)
        with self.database.writing() as session:
            # What is taken back is the last thing that was done with it: perhaps not the confirming.
            if undo(session, entry, by="x").state != EntryState.CONFIRMED:
                del self.given[entry]

    @precondition(lambda self: self.given)
    @rule(data=st.data(), zone=st.integers(1, 6))
    def an_old_entry_is_put_right(self, data: st.DataObject, zone: int) -> None:
        """Whatever number its cow bears by now, it stays hers."""
        entry = data.draw(st.sampled_from(sorted(self.given)))
        with self.database.writing() as session:
            amend(session, entry, {"findings.0.zone": zone}, by="x")

    @precondition(lambda self: self.given)
    @rule(data=st.data(), back=st.booleans())
    def a_visit_is_moved_to_another_day(self, data: st.DataObject, back: bool) -> None:
        """It was taken in under a wrong date; perhaps that was wrong, and is taken back."""
        entry = data.draw(st.sampled_from(sorted(self.given)))
        date = dt.date(2026, 1, 1) + dt.timedelta(days=next(self.days))
        with self.database.reading() as session:
            visit_id = session.get_one(Entry, entry).visit_id
        acts.move(self.database, SETTINGS, visit_id, by="x", date=date)
        if back:
            acts.undo_last(self.database, SETTINGS, by="x")

    @precondition(lambda self: self.there)
    @rule(data=st.data())
    def a_strange_number_turns_out_to_be_a_cow(self, data: st.DataObject) -> None:
        """A number misheard at the chute, confirmed, then joined; perhaps parted and joined again."""
        cow = data.draw(st.sampled_from(sorted(self.there)))
        date = dt.date(2026, 1, 1) + dt.timedelta(days=next(self.days))
        with self.database.writing() as session:
            visit = visit_for(session, farm=FARM, trimmer="x", date=date)
            strange = f"9{next(self.days)}"
            entry = _put(
                session,
                visit.id,
                {"animal": strange, "findings": [{"lesion": "toe ulcer", "foot": "LF"}]},
                "cow",
            )
            confirm(session, entry, by="x", sure=True)
            other = session.exec(select(Animal).where(Animal.number == strange)).one()
            into = session.exec(select(Animal).where(Animal.eid == eid(cow))).one()
            merge_animals(session, other.id, into.id, by="x")
            if data.draw(st.booleans()):
                undo_merge(session, other.id, by="x")
                merge_animals(session, other.id, into.id, by="x")
        self.given[entry] = cow

    @invariant()
    def every_history_is_whole(self) -> None:
        with self.database.reading() as session:
            animals = {
                animal.eid: animal.id for animal in session.exec(select(Animal)).all() if animal.eid
            }
            assert {eid(cow) for cow in COWS} == set(animals), "one animal for each cow, for ever"
            rows = finding_rows(session)
            assert {entry: animals[eid(cow)] for entry, cow in self.given.items()} == {
                row.entry_id: row.animal_id for row in rows
            }
            assert len(rows) == len(self.given)
            names = "animal_id name foot first_on last_on visits closed_on".split()
            of = attrgetter(*names)
            kept = sorted(of(case) for case in session.exec(select(HerdCase)).all())
            afresh = sorted(
                of(case)
                for animal_id in animals.values()
                for case in cases_of(finding_rows(session, Scope(animal_id=animal_id)))
            )
            assert [tuple(map(str, one)) for one in afresh] == [
                tuple(map(str, one)) for one in kept
            ]
            assert [] == changed_outside(session)
            self.picture_is_the_same(session)

    def picture_is_the_same(self, session: Session) -> None:
        """Counted in columns and by the database, as counted row by row."""
        farm = farm_by_name(session, FARM)
        scope = Scope(farm_id=farm.id)
        numbers = dict(session.exec(select(Animal.id, Animal.number)).all())
        # A row keeps the number that was said; lists name the animal it turned out to be.
        rows = [replace(row, animal=numbers[row.animal_id]) for row in finding_rows(session, scope)]
        by_row = picture_of_rows(
            FARM, visit_rows(session, farm_id=farm.id), rows, action_rows(session, scope)
        )
        kept = herd_picture(session, farm, days=None)
        for part in ("first", "last", "trims", "own_last", "cases", "closing"):
            assert getattr(by_row, part) == getattr(kept, part), part

    def teardown(self) -> None:
        if hasattr(self, "database"):
            self.database.close()
            self.folder.cleanup()


Herd.TestCase.settings = settings(
    max_examples=6,
    stateful_step_count=12,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    phases=(
        Phase.explicit,
        Phase.reuse,
        Phase.generate,
    ),  # each step is a database: shrinking takes minutes
)
TestHerd = Herd.TestCase
