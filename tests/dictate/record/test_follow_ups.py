"""Follow-ups that a later note settles, and the calendar of those still due."""

import datetime as dt

import icalendar
import pytest
from sqlmodel import select

from dictate.record.follow_ups import calendar_of, settled_by
from dictate.record.rows import FollowUpRow
from dictate.review.follow_ups import tick_off
from dictate.store.due_lines import due_lines
from dictate.store.record_queries import follow_up_rows
from dictate.store.record_tables import FollowUp
from tests.deciding import amend, confirm, undo

from .rowmaker import DAY, action, finding

LATER = DAY + dt.timedelta(days=5)


def asked(kind, **more):
    return FollowUpRow(
        id=1, farm_id=1, visit_id=1, animal_id=1, animal="1", on=DAY, kind=kind, entry_id=10, **more
    )


FIRST = (
    [finding(1, "sole ulcer", "LH", entry_id=10)],
    [action(1, "wrap", "LH", entry_id=10), action(1, "block", "LH", "inner", entry_id=10)],
)


@pytest.mark.parametrize(
    ("kind", "later", "is_settled"),
    [
        ("wrap off", action(1, "wrap removed", "LH", on=LATER, entry_id=11), True),
        ("wrap off", action(1, "wrap removed", on=LATER, entry_id=11), True),
        ("wrap off", action(1, "wrap removed", "RH", on=LATER, entry_id=11), False),
        ("wrap off", action(1, "wrap removed", "LH", on=DAY, entry_id=11), False),
        ("wrap off", finding(1, "sole ulcer", "LH", on=LATER, entry_id=11, course="healed"), True),
        ("wrap off", finding(1, "sole ulcer", "LH", on=LATER, entry_id=11), False),
        ("block off", action(1, "block removed", "LH", on=LATER, entry_id=11), True),
        ("block off", action(1, "wrap removed", "LH", on=LATER, entry_id=11), False),
        ("look again", finding(1, "sole ulcer", "LH", on=LATER, entry_id=11), True),
        ("look again", finding(1, "no lesion", on=LATER, entry_id=11), True),
        ("look again", finding(1, "sole ulcer", "RF", on=LATER, entry_id=11), False),
        ("look again", action(1, "wrap removed", "LH", on=LATER, entry_id=11), False),
        ("trim", action(1, "functional trim", on=LATER, entry_id=11), True),
        ("vet", action(1, "referred", on=LATER, entry_id=11), False),
        ("vet", finding(1, "no lesion", on=LATER, entry_id=11), False),
    ],
)
def test_what_settles_what(kind, later, is_settled):
    findings, actions = FIRST
    more = (
        ([*findings, later], actions) if hasattr(later, "lesion") else (findings, [*actions, later])
    )
    settled = settled_by([asked(kind)], *more)
    assert [(one.entry_id, one.on) for one in settled] == ([(11, LATER)] if is_settled else [])


@pytest.mark.parametrize(("foot", "is_settled"), [("RF", True), ("LH", False)])
def test_the_foot_said_of_it_decides(foot, is_settled):
    """ "Look at the right front again": not the left hind, where the ulcer was."""
    findings, actions = FIRST
    later = finding(1, "no lesion", foot, on=LATER, entry_id=11)
    settled = settled_by([asked("look again", feet=("RF",))], [*findings, later], actions)
    assert bool(settled) is is_settled


def test_feet_and_claw_of_what_is_due_reach_the_list(database, queue):
    (entry,) = queue(
        {
            "animal": "412",
            "findings": [{"foot": "RH", "claw": "outer", "lesion": "sole ulcer"}],
            "follow_ups": [
                {"kind": "block off", "feet": ["LH"], "claw": "inner", "date": "2026-03-16"},
                {"kind": "look again", "feet": ["RH"], "date": "2026-03-16"},
                {"kind": "look again", "date": "2026-03-23"},
            ],
        }
    )
    with database.writing() as session:
        confirm(session, entry, by="Robin Field")
        lines, _ = due_lines(session)
        rows = follow_up_rows(session)
        tick_off(session, lines[0].id, by="Robin Field", on=DAY)
        still = follow_up_rows(session, open_only=True)
    assert [one.kind for one in still] == ["look again", "look again"]
    assert [(one.kind, one.about) for one in lines] == [
        ("block off", "LH inner"),
        ("look again", "RH outer sole ulcer"),
        ("look again", "RH outer sole ulcer"),
    ]
    assert [(one.feet, one.claw) for one in rows] == [
        (("LH",), "inner"),
        (("RH",), None),
        ((), None),
    ]


def test_done_stays_done():
    later = action(1, "wrap removed", "LH", on=LATER, entry_id=11)
    assert settled_by([asked("wrap off", done_on=DAY)], [], [later]) == ()


WRAPPED = {
    "animal": "412",
    "actions": [{"kind": "wrap", "foot": "LH"}],
    "follow_ups": [
        {"kind": "wrap off", "in_days": 3, "date": "2026-03-05", "when": "in three days"}
    ],
}
UNWRAPPED = {"animal": "412", "actions": [{"kind": "wrap removed", "foot": "LH"}]}


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_confirming_in_any_order_settles_and_undoing_opens_again(database, queue, order):
    entries = queue(WRAPPED) + queue(UNWRAPPED, date=dt.date(2026, 3, 5))
    with database.writing() as session:
        for at in order:
            confirm(session, entries[at], by="Robin Field")
        one = session.exec(select(FollowUp)).one()
        session.refresh(one)
        assert (one.done_on, one.done_entry_id) == (dt.date(2026, 3, 5), entries[1])
        amend(session, entries[0], {"remark": "tight"}, by="Robin Field")
        assert session.exec(select(FollowUp.done_entry_id)).one() == entries[1]
    with database.writing() as session:
        undo(session, entries[1], by="Robin Field")
        assert session.exec(select(FollowUp.done_on)).one() is None


def test_the_calendar_is_read_back_by_its_library():
    """RFC 5545 through the icalendar library: one event for each farm, day and kind."""
    rows = [
        asked("look again", due_on=LATER),
        asked("look again", due_on=LATER),
        asked("wrap off", due_on=DAY, snoozed_to=LATER),
        asked("block off", due_on=LATER, done_on=DAY),
        asked("trim", when="at dry-off"),
    ]
    stamp = dt.datetime(2026, 3, 2, 18, tzinfo=dt.UTC)
    data = calendar_of(rows, {1: "Hof, Sonnental; Nord"}, stamp=stamp)
    events = icalendar.Calendar.from_ical(data).walk("VEVENT")
    assert [(str(e["summary"]), e.decoded("dtstart")) for e in events] == [
        ("Hof, Sonnental; Nord: look again 1", LATER),
        ("Hof, Sonnental; Nord: wrap off 1", LATER),
    ]
    assert all("local law decide" in str(e["description"]) for e in events)
    assert data == calendar_of(rows, {1: "Hof, Sonnental; Nord"}, stamp=stamp)
    assert len({str(e["uid"]) for e in events}) == 2
