"""A change settles the marks about the slots it sets, and brings up what does not fit any more."""

import pytest
from sqlmodel import select

from dictate.entry.checking import LEFT_BEHIND, OF_VALUES
from dictate.review import acts
from dictate.review.card import choices_for
from dictate.review.showing import card_of
from dictate.store.tables import Animal, Entry, Visit
from grammar.checks import CHECKS


@pytest.fixture
def spoken(database, settings, read_day):
    """Queue one note of these words; what acts need to work on its entry."""

    def put(text: str, *numbers: str):
        read_day(text, roster=numbers)
        with database.reading() as session:
            return database, settings, session.exec(select(Entry.id)).first()

    return put


def marks(database) -> list[str]:
    with database.reading() as session:
        return session.exec(select(Entry)).first().content["marks"]


def test_checks_of_values_exist() -> None:
    """All others look at how something was heard, and stay until a person settles them."""
    assert OF_VALUES - {LEFT_BEHIND} <= set(CHECKS)


def test_choosing_a_number_keeps_every_other_doubt(spoken, database) -> None:
    where = spoken("cow four fifteen score two left hind soul ulcer banana", "415", "450")
    before = marks(database)
    assert {
        "number-sounds-alike",
        "locomotion-scale-open",
        "repaired-term",
        "leftover-words",
    } <= set(before)
    done = acts.choose_number(*where, "450", by="Kim")
    assert done.entry.values.locomotion.score == 2
    assert set(done.entry.values.marks) == set(before) - {"number-sounds-alike"}


@pytest.mark.parametrize(
    ("heard", "number", "left"),
    [
        ("cow two six one four two left hind clean", "261", "four two"),
        ("cow two sixty one oh two left hind clean", "261", "oh two"),
        ("cow four fifteen three left hind clean", "415", "three"),
    ],
)
def test_words_that_a_number_swallowed_are_read_again_and_shown(
    spoken, database, heard: str, number: str, left: str
) -> None:
    """They were digits of a longer number; now they are words that nobody has taken."""
    where = spoken(heard)
    before = marks(database)
    done = acts.choose_number(*where, number, by="Kim")
    values = done.entry.values
    assert (values.animal, [one.lesion for one in values.findings]) == (number, ["no lesion"])
    assert [mark.id for mark in done.raised] == ["leftover-words"]
    with database.reading() as session:
        card = card_of(session, where[2])
        assert " ".join(word.text for word in card.words if word.unused) == left
    acts.undo(*where, by="Kim")
    assert marks(database) == before


def test_a_block_left_on_the_other_foot_is_marked_and_goes_with_one_key(spoken, database) -> None:
    where = spoken("cow four twelve left hind outer sole ulcer zone four rubber block on the inner")
    done = acts.amend(*where, {"findings.0.foot": "RH"}, by="Kim")
    assert [mark.id for mark in done.raised] == [LEFT_BEHIND]
    assert "Look: block on left hind, where nothing was found" in done.told
    (choice,) = choices_for(done.entry.values, [])
    assert (choice.path, choice.value) == ("actions.0.foot", "RH")
    done = acts.amend(*where, {choice.path: choice.value}, by="Kim")
    assert done.entry.values.marks == ()


def test_answers_to_one_question_stand_together_with_keys_that_count_on(spoken, database) -> None:
    """The scale was asked first; a number that is offered beside it comes after both scales."""
    with database.reading() as session:
        values = card_of(session, spoken("cow four twelve score three")[2]).values
    choices = choices_for(values, ["421", "417"])
    paths = [one.path for one in choices]
    assert paths == ["locomotion.scale"] * 2 + ["animal"] * 2
    assert [one.key for one in choices] == ["1", "2", "3", "4"]


def test_a_lesion_that_does_not_fit_its_zone_is_marked_anew_and_settled_by_either(spoken) -> None:
    where = spoken("cow four twelve left hind outer sole ulcer zone four")
    done = acts.amend(*where, {"findings.0.lesion": "digital dermatitis"}, by="Kim")
    assert {"lesion-site-odd"} <= set(done.entry.values.marks)
    done = acts.amend(*where, {"findings.0.zone": None}, by="Kim")
    assert done.entry.values.marks == ()


def test_a_fix_of_one_finding_leaves_the_doubts_about_another(spoken) -> None:
    where = spoken("cow four twelve left hind soul ulcer right hind white lion disease")
    values = acts.amend(*where, {"remark": "kicks"}, by="Kim").entry.values
    assert values.marks.count("repaired-term") == 1
    repaired = [mark for mark in values.mark_details if mark.id == "repaired-term"]
    assert len(repaired) == 2, "one for each lesion"
    values = acts.amend(*where, {"findings.0.lesion": "toe ulcer"}, by="Kim").entry.values
    left = [mark.what for mark in values.mark_details if mark.id == "repaired-term"]
    assert left == [repaired[1].what]
    values = acts.amend(*where, {"findings.1.claw": "outer"}, by="Kim").entry.values
    assert [mark.what for mark in values.mark_details if mark.id == "repaired-term"] == left


def test_an_empty_slot_offers_what_may_stand_there(spoken) -> None:
    where = spoken("cow four twelve left hind outer sole ulcer blocked")
    with where[0].reading() as session:
        card = card_of(session, where[2])
    offered = {(one.path, one.value) for one in card.choices if one.path != "animal"}
    assert {("actions.0.claw", "outer"), ("actions.0.claw", "inner")} <= offered


def test_an_animal_off_the_roster_needs_a_second_step(spoken, database) -> None:
    """Choosing it is no harm; letting it into the record is asked for once more, however it is done."""
    where = spoken("cow four twelve all good", "412", "415")
    done = acts.choose_number(*where, "777", by="Kim")
    assert "animal-not-on-roster" in done.entry.values.marks
    for confirming in (
        lambda sure: acts.confirm(*where, by="Kim", sure=sure),
        lambda sure: acts.fix(*where, ["animal=777"], by="Kim", then_confirm=True, sure=sure),
        lambda sure: acts.put_words_right(
            *where, "cow seven seven seven all good", by="Kim", then_confirm=True, sure=sure
        ),
    ):
        with pytest.raises(acts.NeedsSureError, match="not on the farm's roster"):
            confirming(sure=False)
        with database.reading() as session:
            assert session.get_one(Entry, where[2]).state == "waiting"
        assert confirming(sure=True).entry.state == "confirmed"
        acts.undo(*where, by="Kim")
    acts.choose_number(*where, "415", by="Kim", then_confirm=True)
    with pytest.raises(acts.NeedsSureError):
        acts.amend(*where, {"animal": "778"}, by="Kim")
    with database.reading() as session:
        farm = session.exec(select(Visit.farm_id)).one()
        found = session.exec(select(Animal.number).where(Animal.farm_id == farm)).all()
    assert "778" not in found
