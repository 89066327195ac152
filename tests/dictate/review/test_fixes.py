"""Fixes, learning and follow-ups: each one act that can be undone as a whole."""

import datetime as dt
from typing import Any

import pytest
from sqlmodel import select

from dictate.entry.values import EntryValues
from dictate.errors import ConflictError, NotFoundError, ReviewError
from dictate.review import acts
from dictate.review.card import heard_words, text_to_type
from dictate.review.follow_ups import put_off, tick_off, untick
from dictate.review.learning import teach
from dictate.review.likely import in_order_of_likeness, likely_animals
from dictate.review.measure import pace_of, reviews_by_visit
from dictate.review.offers import offer_for_term, offers_for_text
from dictate.review.suggesting import meant_instead
from dictate.store.due_lines import due_lines
from dictate.store.farms import farm_by_name
from dictate.store.record_tables import FollowUp
from dictate.store.states import EntryState
from dictate.store.tables import Alias, Animal, Entry
from tests.deciding import (
    amend,
    confirm,
    confirm_unmarked,
    join,
    last_act,
    retype,
    split,
    undo,
    undo_act,
)

TODAY = dt.date(2026, 3, 2)
TWO = {
    "animal": "412",
    "findings": [
        {"foot": "LH", "claw": "outer", "lesion": "sole ulcer"},
        {"foot": "RH", "lesion": "no lesion"},
    ],
    "actions": [{"kind": "block", "foot": "LH", "claw": "inner"}],
    "follow_ups": [{"kind": "look again", "in_days": 14, "date": "2026-03-16"}],
}


def state_of(database: Any) -> list[tuple[str, dict[str, Any]]]:
    with database.reading() as session:
        return [(e.state, e.content) for e in session.exec(select(Entry).order_by(Entry.id)).all()]


def test_splitting_moves_items_and_undoing_puts_them_back(database, queue) -> None:
    (entry,) = queue(TWO)
    before = state_of(database)
    with database.writing() as session:
        made = split(session, entry, {("findings", 1)}, "413", by="Kim", version=1)
        assert made.content["animal"] == "413"
        assert [one["lesion"] for one in made.content["findings"]] == ["no lesion"]
    assert [state for state, _ in state_of(database)] == ["waiting", "waiting"]
    with database.writing() as session:
        undo_act(session, last_act(session, by="Kim"), by="Kim")
    after = state_of(database)
    assert after[0] == before[0]
    assert after[1][0] == EntryState.REJECTED


def test_a_split_that_leaves_or_moves_nothing_is_refused(database, queue) -> None:
    (entry,) = queue({"animal": "412", "findings": [{"lesion": "no lesion"}]})
    for moved in (set(), {("findings", 0)}):
        with database.writing() as session, pytest.raises(ReviewError):
            split(session, entry, moved, "413", by="Kim")


def test_joining_gives_the_animal_before_and_keeps_each_clip_its_own(database, queue) -> None:
    first, second = queue(TWO, {"animal": "999", "findings": [{"lesion": "no lesion"}]})
    with database.writing() as session:
        done = join(session, second, by="Kim", version=1)
        assert (done.id, done.content["animal"]) == (second, "412")
    with (
        database.writing() as session,
        pytest.raises(ReviewError, match="no animal was named before"),
    ):
        join(session, first, by="Kim")


def test_an_old_version_is_refused(database, queue) -> None:
    (entry,) = queue(TWO)
    with database.writing() as session, pytest.raises(ConflictError):
        split(session, entry, {("findings", 1)}, "413", by="Kim", version=7)


def test_likely_animals_stand_in_order_of_evidence() -> None:
    """Marked candidates, then those that sound alike or are a slip away, not yet named ones first."""
    values = EntryValues.model_validate(
        {
            "animal": "415",
            "mark_details": [{"id": "animal-not-on-roster", "what": "", "candidates": ["450"]}],
        }
    )
    roster = ["412", "413", "514", "145", "700", "450"]
    assert likely_animals(values, roster, named={"412"}) == ["450", "145", "413", "412"]
    assert likely_animals(EntryValues(animal="690"), ["619", "680", "112"]) == ["619", "680"]
    assert likely_animals(EntryValues(animal="690"), ["112"]) == ["619"], "it may be a new animal"
    assert in_order_of_likeness("690", ["112", "619", "680"]) == ["619", "680", "112"]
    assert in_order_of_likeness(None, ["700", "88"], named=["88"]) == ["700", "88"]
    assert likely_animals(EntryValues(animal="88"), ["412", "700"]) == []


@pytest.mark.parametrize(
    ("heard", "typed", "offered"),
    [
        ("right hind soul elsa zone four", "right hind sole ulcer zone four", ("soul elsa", "sole ulcer")),
        ("left hind white lime disease", "left hind white line disease", ("white lime", "white line")),
        ("cow four fifteen clean", "cow four fifty clean", None),
        ("word", "cow four left hind sole ulcer", None),
        ("left hind sole ulcer", "left hind white line", None),
    ],
)  # fmt: skip
def test_what_a_fix_offers_to_learn(
    heard: str, typed: str, offered: tuple[str, str] | None
) -> None:
    """Only terms, never numbers, and nothing that means something already."""
    found = [(one.heard, one.term) for one in offers_for_text(heard.split(), typed)]
    assert found == ([offered] if offered else [])


@pytest.mark.parametrize(
    ("heard", "term"),
    [
        ("fifteen", "sole ulcer"),
        ("foo", "fifty"),
        ("foo", "no such term"),
        ("heel", "sole ulcer"),
        ("", "sole ulcer"),
    ],
)
def test_what_can_never_be_taught(database, queue, heard: str, term: str) -> None:
    queue(TWO)
    assert offer_for_term(heard, term) is None
    with database.writing() as session, pytest.raises(ReviewError):
        teach(session, 1, heard, term, by="Kim")
    with database.reading() as session:
        assert session.exec(select(Alias)).all() == []


def test_left_over_words_are_offered_as_the_terms_they_sound_like() -> None:
    words = "cow six oh one right hind outer soul elsa zone four".split()
    found = meant_instead(words, [7, 8])
    texts = {one.term: one.text for one in found[:2]}  # "sole loose" sounds even more like it
    assert texts["sole ulcer"] == "cow six oh one right hind outer sole ulcer zone four"
    assert meant_instead(words, [1, 2, 3]) == [], "numbers are never touched"


def test_follow_ups_are_ticked_off_put_off_and_opened(database, queue) -> None:
    (entry,) = queue(TWO)
    with database.writing() as session:
        farm_id = 1
        confirm(session, entry, by="Kim")
        (due,), total = due_lines(session, farm_id=farm_id)
        assert (due.on, due.animal, total) == (dt.date(2026, 3, 16), "412", 1)
        assert due_lines(session, farm_id=farm_id, until=dt.date(2026, 3, 15)) == ([], 0)
        put_off(session, due.id, dt.date(2026, 3, 20), by="Kim", today=TODAY)
        assert due_lines(session, farm_id=farm_id)[0][0].on == dt.date(2026, 3, 20)
        tick_off(session, due.id, by="Kim", on=dt.date(2026, 3, 20))
        assert due_lines(session, farm_id=farm_id) == ([], 0)
        with pytest.raises(ConflictError, match="done on"):
            tick_off(session, due.id, by="Jo", on=dt.date(2026, 3, 21))
        untick(session, due.id, by="Kim")
        assert due_lines(session, farm_id=farm_id)[0][0].on == dt.date(2026, 3, 16)


@pytest.mark.parametrize(
    ("until", "why"), [(dt.date(2026, 3, 1), "is past"), (dt.date(2206, 3, 16), "years ahead")]
)
def test_impossible_days_are_refused(database, queue, until, why) -> None:
    """Nothing is put off to a day that is past or years ahead, nor done before it was said or tomorrow."""
    (entry,) = queue(TWO)
    with database.writing() as session:
        confirm(session, entry, by="Kim")
        (due,), _ = due_lines(session, farm_id=1)
        number = due.id
        with pytest.raises(ReviewError, match=why):
            put_off(session, number, until, by="Kim", today=TODAY)
        with pytest.raises(ReviewError, match="before the visit"):
            tick_off(session, number, by="Kim", on=dt.date(2026, 3, 1), today=TODAY)
        with pytest.raises(ReviewError, match="not come yet"):
            tick_off(session, number, by="Kim", on=dt.date(2026, 3, 3), today=TODAY)
        with pytest.raises(NotFoundError, match="no follow-up 77"):
            tick_off(session, 77, by="Kim", on=TODAY)
        assert due_lines(session, farm_id=1)[0][0].on == dt.date(2026, 3, 16)


def test_corrections_are_counted_and_the_pace_is_a_guess_at_first(database, queue) -> None:
    first, second, _third = queue(TWO, TWO | {"animal": "413"}, TWO | {"animal": "414"})
    with database.writing() as session:
        split(session, first, {("findings", 1)}, "420", by="Kim")
        confirm(session, first, by="Kim")
        confirm_unmarked(session, 1, by="Kim", expected={second: 1})
    with database.reading() as session:
        (row,) = reviews_by_visit(session)
        pace = pace_of(session, "Kim")
    assert (row.notes, row.entries, row.decided, row.confirmed_together) == (3, 4, 2, 1)
    assert row.amended == 2, "the entry that was split, and the one that was split off"
    assert not pace.measured
    assert pace.seconds(marked=2, plain=1) == 2 * pace.marked + pace.plain


def test_undoing_typed_words_takes_the_further_entries_away_too(database, queue, settings) -> None:
    """However it is undone: as the last act of a person, or by the number of either entry."""
    text = "cow four twelve left hind outer sole ulcer next cow four thirteen all good"
    (entry,) = queue(TWO)
    before = state_of(database)
    for way in ("act", "first", "second"):
        with database.writing() as session:
            retype(session, entry, text, by="Kim")
        assert [state for state, _ in state_of(database)].count("waiting") == 2
        with database.writing() as session:
            if way == "act":
                undo_act(session, last_act(session, by="Kim"), by="Kim")
            else:
                second = max(one.id for one in session.exec(select(Entry)).all())
                undo(session, entry if way == "first" else second, by="Kim")
        after = state_of(database)
        assert after[0] == before[0]
        assert {state for state, _ in after[1:]} == {EntryState.REJECTED}


def test_amending_keeps_what_a_person_did_with_a_follow_up(database, queue) -> None:
    """Ticked off or put off stays so, also through undo; on another animal it is due again."""
    due = [
        {"kind": "look again", "in_days": 14, "date": "2026-03-16"},
        {"kind": "wrap off", "in_days": 3, "date": "2026-03-05"},
    ]
    (entry,) = queue(TWO | {"follow_ups": due})
    day = dt.date(2026, 3, 20)

    def told(session):
        rows = session.exec(select(FollowUp).order_by(FollowUp.kind)).all()
        return [(one.id, one.kind, one.snoozed_to, one.done_on, one.done_by) for one in rows]

    with database.writing() as session:
        confirm(session, entry, by="Kim")
        (look, *_), (wrap, *_) = told(session)
        put_off(session, look, day, by="Kim", today=TODAY)
        tick_off(session, wrap, by="Kim", on=day)
        kept = told(session)
        assert kept == [(look, "look again", day, None, None), (wrap, "wrap off", None, day, "Kim")]
        amend(session, entry, {"findings.0.zone": 4}, by="Kim")
        assert told(session) == kept
        undo(session, entry, by="Kim")
        assert told(session) == kept
        amend(session, entry, {"follow_ups.0": None}, by="Kim")
        assert told(session) == kept[1:]
        amend(session, entry, {"animal": "413"}, by="Kim")
        assert [one[1:] for one in told(session)] == [("wrap off", None, None, None)]


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("cow four twelve [unk] [unk] zone four", "cow four twelve | zone four"),
        ("cow four twelve clean [unk]", "cow four twelve clean |"),
        ("cow four twelve *wright *hinge clean", "cow four twelve [wright hinge] clean"),
        ("*go *mix", "[go mix]"),
        ("[unk] all good", "| all good"),
        ("cow four twelve clean", "cow four twelve clean |"),
        ("", "|"),
    ],
)
def test_typing_begins_where_something_was_not_understood(words: str, expected: str) -> None:
    """`|` is where typing begins; what stands in brackets it replaces; `*` marks words without use."""
    texts = words.split()
    heard = heard_words(
        [{"text": one.lstrip("*")} for one in texts],
        [],
        leftover=[at for at, one in enumerate(texts) if one.startswith("*")],
    )
    text, first, last = text_to_type(heard)
    inside = f"[{text[first:last]}]" if last > first else "|"
    assert text[:first] + inside + text[last:] == expected


def test_typing_a_whole_note_adds_no_entry_that_it_has_already(database, queue, settings) -> None:
    """One of its two animals was misheard: the words of both are typed, the right one stays single."""
    first, second = queue(
        {"animal": "302", "findings": [{"foot": "LH", "lesion": "no lesion", "heard": "clean"}]},
        {"animal": "558", "findings": [{"foot": "RH", "lesion": "sole ulcer"}]},
    )
    with database.writing() as session:
        session.get_one(Entry, second).note_id = session.get_one(Entry, first).note_id
        session.get_one(Entry, second).position = 1
    with database.writing() as session:
        text = "cow three oh two left hind clean next cow five fifty eight right hind toe ulcer"
        done = retype(session, second, text, by="Kim")
        assert (done.content["animal"], done.content["findings"][0]["lesion"]) == (
            "558",
            "toe ulcer",
        )
    assert len(state_of(database)) == 2


@pytest.mark.parametrize("second", ["left hind sole ulcer", "same cow left hind sole ulcer"])
def test_an_animal_put_right_goes_on_to_the_notes_that_named_none(
    database, settings, read_day, second: str
) -> None:
    """Those that a person has not touched; a fix that changes no animal reads nothing again."""
    read_day("cow four fifteen all good", second, "cow nine all good")
    assert [content["animal"] for _, content in state_of(database)] == ["415", "415", "9"]
    with database.reading() as session:
        first = session.exec(select(Entry.id).order_by(Entry.id)).first()
    done = acts.amend(database, settings, first, {"animal": "450"}, by="Kim")
    assert done.told == "1 note after it, which named no animal, goes with it."
    assert [content["animal"] for _, content in state_of(database)] == ["450", "450", "9"]
    acts.undo(database, settings, first, by="Kim")
    assert [content["animal"] for _, content in state_of(database)] == ["415", "415", "9"]
    assert acts.amend(database, settings, first, {"remark": "kicks"}, by="Kim").also == ()


def test_same_cow_is_marked_while_its_number_is_in_doubt(database, read_day) -> None:
    """Else it would be confirmed with the unmarked ones, before anybody looked at the number."""
    with database.writing() as session:
        farm = farm_by_name(session, "Alder Farm", make=True)
        session.add_all(
            Animal(farm_id=farm.id, number=number, on_roster=True) for number in ("412", "9")
        )
    read_day(
        "cow four thirteen all good", "same cow left hind sole ulcer", "cow nine all good", "same cow lame",
    )  # fmt: skip

    marks = [set(content["marks"]) for _, content in state_of(database)]

    assert marks[0] == {"animal-not-on-roster"}
    assert "animal-carried" in marks[1]
    assert "animal-carried" not in marks[2] | marks[3]
