"""Words put right in place: what is offered at a place, where work goes on, and what comes of it."""

import datetime as dt
from collections.abc import Callable, Mapping

import pytest
from sqlmodel import select

from dictate.notes.reading_notes import read_visit
from dictate.review import acts
from dictate.review.habits import END, habits_from
from dictate.review.in_place import InPlace, correcting
from dictate.review.line import line_of
from dictate.review.showing import card_of
from dictate.store.tables import Animal, Clip, Entry, Note
from dictate.store.visits import visit_for
from tests.deciding import amend

DAY = dt.date(2026, 3, 2)


@pytest.fixture
def heard(database, settings) -> Callable[..., int]:
    """Queue a note with these hearings, the likeliest first; the id of its first entry."""

    def put(*hearings: str, unsure: Mapping[str, float] | None = None) -> int:
        with database.writing() as session:
            visit = visit_for(session, farm="Alder", trimmer="Kim", date=DAY)
            for number in ("412", "415", "107"):
                session.add(Animal(farm_id=visit.farm_id, number=number, on_roster=True))
            clip = Clip(
                sha256="a" * 64, visit_id=visit.id, file_name="one.wav", suffix=".wav",
                seconds=1.0, source_rate=16000, channels=1, recorded_from="given",
            )  # fmt: skip
            session.add(clip)
            session.flush()
            sure = unsure or {}
            words = [
                [
                    {"text": word} | ({"confidence": sure.get(word, 0.99)} if sure else {})
                    for word in one.split()
                ]
                for one in hearings
            ]
            session.add(
                Note(
                    clip_id=clip.id, visit_id=visit.id, engine="given", model="none",
                    words=words[0], alternatives=words[1:],
                )
            )  # fmt: skip
            visit_id = visit.id or 0
        read_visit(database, settings, visit_id)
        with database.reading() as session:
            return session.exec(select(Entry.id)).first() or 0

    return put


@pytest.fixture
def look(database, settings) -> Callable[..., InPlace]:
    def at(entry_id: int, **where: object) -> InPlace:
        with database.reading() as session:
            here = correcting(session, settings, entry_id).look(**where)
            assert here.offers is not None
            return here

    return at


def test_a_line_goes_on_behind_what_is_put_in() -> None:
    line = line_of("cow one two left hind soul zone four", at=5)
    assert line.here == "soul"
    put = line.put("sole ulcer")
    assert put.text == "cow one two left hind sole ulcer zone four"
    assert put.words[put.at] == "zone"
    assert not put.room
    assert line.drop().text == "cow one two left hind zone four"
    assert line.go(99).room, "the end is a place where something may be missing"
    assert line.make_room().put("outer").text == "cow one two left hind outer soul zone four"


def test_a_stretch_that_was_not_understood_is_one_place_and_takes_several_words() -> None:
    line = line_of("cow one two [unk] [unk] [unk] zone four", at=3)
    assert line.words.count("[unk]") == 1
    one = line.put("sole")
    assert one.room, "more of it may be missing"
    assert one.put("ulcer").text == "cow one two sole ulcer zone four"


def test_other_hearings_are_offered_first_then_what_sounds_alike(heard, look) -> None:
    entry = heard(
        "cow four twelve left hind sole ulcer heel", "cow four twelve left hind sole ulcer healed"
    )
    here = look(entry)
    assert here.line.here == "heel", "the first doubtful word"
    assert here.offers[0].text == "healed"
    alike = [offer.text for offer in look(entry, at=5, find=False).offers]
    assert "toe ulcer" in alike or "thin sole" in alike


def test_a_term_over_two_words_takes_the_place_of_both(heard, look) -> None:
    entry = heard("cow four twelve left hind soul elsa zone four")
    here = look(entry, at=5, find=False)
    offer = next(one for one in here.offers if one.text == "sole ulcer")
    assert offer.put_into(here.line).text == "cow four twelve left hind sole ulcer zone four"


def test_letters_complete_words_of_the_trade_and_of_everyday(heard, look) -> None:
    entry = heard("cow four twelve left hind sole ulcer")
    assert "wrapped" in [one.text for one in look(entry, typed="wra").offers]
    assert "rubber block" in [one.text[:12] for one in look(entry, typed="ru").offers]
    assert look(entry, typed="zzz").offers == []


def test_what_is_said_at_the_visit_comes_first() -> None:
    """Counted, so that it can be checked by hand: `clean` ends a note more often than it is absent."""
    habits = habits_from([["cow", "one", "quibbled"]] * 3)
    assert habits.likeness("one", "quibbled") > habits.likeness("one", "two")
    assert habits.likeness("quibbled", END) > habits.likeness("two", END)
    assert habits.going_on("quibbled") == []


def test_reading_and_confirming_is_one_act_and_the_chosen_number_stays(
    database, settings, heard, look
) -> None:
    entry = heard("cow four fifteen left hind soul elsa zone four")
    with database.writing() as session:
        amend(session, entry, {"animal": "412"}, by="Kim")
    text = "cow four fifteen left hind sole ulcer zone four"
    here = look(entry, text=text)
    assert here.can_confirm
    assert here.sentence == "412: left hind sole ulcer, zone 4"
    done = acts.put_words_right(
        database, settings, entry, text, by="Kim", version=2, then_confirm=True
    )
    assert (done.entry.state, done.entry.values.animal) == ("confirmed", "412")
    assert [(one.heard, one.term) for one in done.offers] == [("soul elsa", "sole ulcer")]


def test_a_number_that_is_typed_anew_counts(heard, look, database) -> None:
    entry = heard("cow four fifteen left hind sole ulcer")
    with database.writing() as session:
        amend(session, entry, {"animal": "412"}, by="Kim")
    assert look(entry, text="cow one oh seven left hind sole ulcer").reads[0].animal == "107"


def test_several_entries_are_shown_on_the_card_before_they_are_confirmed(heard, look) -> None:
    entry = heard("cow four twelve clean")
    assert not look(entry, text="cow four twelve clean next cow four fifteen clean").can_confirm


def test_the_card_offers_another_hearing_that_reads_as_well(heard, database, settings) -> None:
    entry = heard(
        "cow four twelve left hind sole ulcer heel took the block off",
        "cow four twelve left hind sole ulcer healed took the block off",
        "cow four fifteen left hind sole ulcer heel took the block off",
    )
    with database.reading() as session:
        choices = card_of(session, entry, settings=settings).choices
    texts = [one.value for one in choices if one.path == "text"]
    assert texts == ["cow four twelve left hind sole ulcer healed took the block off"]


def test_a_lost_wrap_is_put_right_with_one_key(heard, database, settings) -> None:
    """ "Left" sounds nothing like "wrapped", and is offered all the same: the word itself is doubted."""
    said = "cow four twelve right hind outer half inch screw left wrap off in three days"
    entry = heard(said, said.replace("left", "wrapped"), unsure={"left": 0.7})
    with database.reading() as session:
        card = card_of(session, entry, settings=settings)
    assert card.values.marks == ("unsure-word",)
    assert "wrapped" in next(word.doubt for word in card.words if word.text == "left")
    (choice,) = [one for one in card.choices if one.path == "text"]
    assert choice.label == "“left” was wrapped"
    done = acts.put_words_right(
        database, settings, entry, choice.value, by="Kim", version=card.entry.version
    )
    assert done.entry.values.marks == ()
    assert [(one.kind, one.foot) for one in done.entry.values.actions] == [("wrap", "RH")]


def test_one_word_and_its_plural_take_one_place(heard, look) -> None:
    here = look(heard("cow four twelve left hind outer soul elsie zone four"), at=6)
    offers = [one.text for one in here.offers]
    assert "sole ulcer" in offers
    assert not {one for one in offers if f"{one}s" in offers}
