"""Decisions: what they do to the herd record, how they are undone, and who comes second."""

import pytest
import sqlalchemy as sa
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlmodel import Session, select

from dictate.errors import ConflictError, NotFoundError, ReviewError
from dictate.review.waiting import waiting
from dictate.store.database import Database
from dictate.store.history import history_of
from dictate.store.record_tables import RECORD_TABLES
from dictate.store.tables import Entry, Note
from tests.deciding import (
    amend,
    confirm,
    confirm_unmarked,
    last_act,
    reject,
    undo,
    undo_act,
    unmarked,
)

ULCER = {
    "animal": "412",
    "findings": [
        {"foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "tissue": ["pus"]}
    ],
    "actions": [{"kind": "block", "foot": "LH", "claw": "inner", "material": "rubber"}],
    "follow_ups": [{"kind": "look again", "in_days": 14, "date": "2026-03-16"}],
    "locomotion": {"score": 3, "scale": "1-5"},
    "measures": [{"what": "dorsal wall", "number": "80.0", "unit": "mm"}],
    "status": ["very lame"],
    "remark": "kicks",
}
MARKED = {"animal": "15", "marks": ["x"], "mark_details": [{"id": "x", "what": "15 or 50"}]}


def _record(session: Session) -> dict[str, list[dict]]:
    """All rows of the herd record, without their keys."""
    return {
        table.__tablename__: [
            row.model_dump(exclude={"id"}) for row in session.exec(select(table)).all()
        ]
        for table in RECORD_TABLES
    }


def _sizes(session: Session) -> list[int]:
    return [len(rows) for rows in _record(session).values()]


def test_only_confirming_fills_the_record(database: Database, queue) -> None:
    """A waiting entry has no rows; a confirmed one has one for each thing said."""
    (one,) = queue(ULCER)
    with database.writing() as session:
        before = _sizes(session)
        entry = confirm(session, one, by="Robin")
        after = _sizes(session)

        assert [0] * 7 == before
        assert [1] * 7 == after
        assert ("confirmed", "one", "Robin") == (
            entry.state,
            entry.confirmed_how,
            entry.confirmed_by,
        )
        assert "confirmed" == session.get_one(Note, entry.note_id).state


def test_undo_takes_the_rows_out_and_keeps_the_history(database: Database, queue) -> None:
    """Undoing is a further event; confirming again gives the same record."""
    (one,) = queue(ULCER)
    with database.writing() as session:
        confirm(session, one, by="Robin")
        first = _record(session)
        undo(session, one, by="Robin")

        assert [0] * 7 == _sizes(session)

        confirm(session, one, by="Robin")

        assert first == _record(session)
        assert ["queued", "confirmed", "undone", "confirmed"] == [
            event.kind for event in history_of(session, "entry", one)
        ]


def test_second_reviewer_is_told(database: Database, queue) -> None:
    """A decision on a version that somebody changed meanwhile does nothing."""
    (one,) = queue(ULCER)
    with database.writing() as session:
        amend(session, one, {"animal": "413"}, by="Robin", version=1)
    for late in (
        lambda session: confirm(session, one, by="Kim", version=1),
        lambda session: amend(session, one, {"animal": "9"}, by="Kim", version=1),
        lambda session: reject(session, one, "no", by="Kim", version=1),
        lambda session: undo(session, one, by="Kim", version=1),
    ):
        with pytest.raises(ConflictError, match="changed meanwhile"), database.writing() as session:
            late(session)

    with database.reading() as session:
        assert ("413", 2) == (
            session.get_one(Entry, one).content["animal"],
            session.get_one(Entry, one).version,
        )


def test_amending_a_confirmed_entry_changes_the_record(database: Database, queue) -> None:
    """A late correction goes through the same way, and can be undone."""
    (one,) = queue(ULCER)
    with database.writing() as session:
        confirm(session, one, by="Robin")
        amend(session, one, {"findings.0.lesion": "toe ulcer"}, by="Robin")
        assert ["toe ulcer"] == [row["lesion"] for row in _record(session)["finding"]]

        undo(session, one, by="Robin")
        assert ["sole ulcer"] == [row["lesion"] for row in _record(session)["finding"]]


def test_rejecting_needs_a_reason_and_keeps_the_entry(database: Database, queue) -> None:
    """A rejected entry is out of the queue and of the record, and still there."""
    (one,) = queue(ULCER)
    with database.writing() as session:
        with pytest.raises(ReviewError, match="no reason"):
            reject(session, one, "  ", by="Robin")
        confirm(session, one, by="Robin")
        reject(session, one, "spoken twice", by="Robin")

        assert [0] * 7 == _sizes(session)
        assert [] == waiting(session)
        assert "spoken twice" == session.get_one(Entry, one).reason


@pytest.mark.parametrize("state", ["confirmed", "rejected"])
def test_decided_entries_are_not_confirmed_again(database: Database, queue, state: str) -> None:
    """Confirming twice, or what was rejected, is refused."""
    (one,) = queue(ULCER)
    with database.writing() as session:
        if state == "confirmed":
            confirm(session, one, by="Robin")
        else:
            reject(session, one, "no", by="Robin")
        with pytest.raises(ConflictError, match=state):
            confirm(session, one, by="Robin")


def test_entry_without_an_animal_cannot_be_confirmed(database: Database, queue) -> None:
    """Findings never enter the record without an animal."""
    (one,) = queue({"findings": [{"lesion": "sole ulcer"}]})
    with database.writing() as session, pytest.raises(ReviewError, match="names no animal"):
        confirm(session, one, by="Robin")


def test_unknown_entry(database: Database) -> None:
    """An entry that is not there is said so."""
    with database.writing() as session, pytest.raises(NotFoundError, match="no entry 77"):
        confirm(session, 77, by="Robin")


def test_confirming_unmarked_is_one_act(database: Database, queue) -> None:
    """Only unmarked entries are confirmed, each is told so, and one undo takes all back."""
    plain, marked, other = queue(ULCER, MARKED, {"animal": "9"})
    with database.writing() as session:
        visit = session.get_one(Entry, plain).visit_id
        done = confirm_unmarked(session, visit, by="Robin")

        assert [plain, other] == [entry.id for entry in done]
        assert {"unmarked"} == {entry.confirmed_how for entry in done}
        assert [marked] == [entry.id for entry in waiting(session)]

        undo_act(session, last_act(session, by="Robin"), by="Robin")

        assert 3 == len(waiting(session))
        assert last_act(session, by="Robin") is None


def test_bulk_confirming_stops_when_the_list_changed(database: Database, queue) -> None:
    """What was listed to the person is what is confirmed, or nothing is."""
    plain, other = queue(ULCER, {"animal": "9"})
    with database.writing() as session:
        listed = {entry.id: entry.version for entry in unmarked(session, 1)}
        amend(session, other, {"animal": "8"}, by="Kim")
    with pytest.raises(ConflictError, match=str(other)), database.writing() as session:
        confirm_unmarked(session, 1, by="Robin", expected=listed)

    with database.reading() as session:
        assert "waiting" == session.get_one(Entry, plain).state


def test_riskiest_first(database: Database, queue) -> None:
    """Entries without an animal come before marked ones, those before unmarked ones."""
    plain, marked, nameless = queue(ULCER, MARKED, {"findings": [{"lesion": "sole ulcer"}]})
    with database.reading() as session:
        assert [nameless, marked, plain] == [entry.id for entry in waiting(session)]


def test_animal_of_a_confirmed_entry_is_known_afterwards(database: Database, queue) -> None:
    """A number that the farm lacks becomes an animal off the roster, once."""
    queue(ULCER, ULCER)
    with database.writing() as session:
        confirm_unmarked(session, 1, by="Robin")
        found = session.execute(sa.text("SELECT number, on_roster FROM animal")).all()

    assert [("412", 0)] == [tuple(row) for row in found]


_DECISIONS = st.lists(st.sampled_from(["confirm", "amend", "reject", "undo"]), max_size=8)


@given(decisions=_DECISIONS)
@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_record_holds_what_the_states_say(database: Database, queue, decisions: list[str]) -> None:
    """After any decisions the rows are those of confirmed entries, and undoing all gives the start."""
    (one,) = queue(ULCER)
    with database.writing() as session:
        start = session.get_one(Entry, one).model_dump(exclude={"version", "confirmed_at"})
        for decision in decisions:
            _decide(session, decision, one)
            entry = session.get_one(Entry, one)
            rows = [row for row in _record(session)["finding"] if row["entry_id"] == one]
            assert (entry.state == "confirmed") == bool(rows)
        while _decide(session, "undo", one):
            pass
        end = session.get_one(Entry, one).model_dump(exclude={"version", "confirmed_at"})

    assert start == end


def _decide(session: Session, decision: str, one: int) -> bool:
    try:
        if decision == "confirm":
            confirm(session, one, by="Robin")
        elif decision == "amend":
            amend(session, one, {"findings.0.zone": 6}, by="Robin")
        elif decision == "reject":
            reject(session, one, "no", by="Robin")
        else:
            undo(session, one, by="Robin")
    except ConflictError:
        return False
    return True
