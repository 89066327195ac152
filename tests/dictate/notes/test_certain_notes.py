"""Reviewed notes that may teach a voice: only those whose words are certain."""

import pytest
from sqlmodel import select

from dictate.decoder.language import FILLER
from dictate.review import acts
from dictate.store.tables import Entry
from dictate.voice.confirmed import certain_notes, newest_note
from dictate.voice.own_speech import own_speech, prompts_for
from tests.deciding import amend, confirm, confirm_unmarked

SAYS = "cow four twelve left hind outer sole ulcer"


def entry_id(database):
    with database.reading() as session:
        return session.exec(select(Entry)).one().id


def certain(database, settings):
    return [" ".join(row.words) for row in certain_notes(database, settings, settings.trimmer)]


@pytest.fixture
def note(database, clip, run):
    run(clip("20260302_091500.opus", SAYS))
    return entry_id(database)


def test_a_note_that_waits_teaches_nothing(database, settings, note):
    """Nobody said yet that it is right."""
    assert [] == certain(database, settings)


def test_a_note_confirmed_without_a_change_teaches_what_was_heard(database, settings, note):
    """Its sound and its words, and the day it is kept aside with."""
    with database.writing() as session:
        confirm(session, note, by="robin")

    assert [SAYS] == certain(database, settings)
    speech = own_speech(database, settings)
    assert ["2026-03-02"] == [row.condition for row in speech.notes]
    assert prompts_for(database, settings.trimmer, count=5)
    assert [] == list(certain_notes(database, settings, "somebody else"))
    who, newest = settings.trimmer, newest_note(database)
    assert 1 == len(certain_notes(database, settings, who, after=newest - 1, at_most=20))
    assert [] == certain_notes(database, settings, who, after=newest)


def test_a_note_with_a_changed_slot_teaches_nothing(database, settings, note):
    """Which of its words was heard wrong is not known."""
    with database.writing() as session:
        found = session.get(Entry, note).content["findings"]
        amend(session, note, {"findings": [found[0] | {"claw": "inner"}]}, by="robin")
    with database.writing() as session:
        confirm(session, note, by="robin")

    assert [] == certain(database, settings)


def test_words_that_a_person_put_right_teach(database, settings, note):
    """Word for word, in the place of what was heard."""
    right = "cow four twenty left hind outer sole ulcer"
    acts.put_words_right(database, settings, note, right, by="robin")
    with database.writing() as session:
        confirm(session, entry_id(database), by="robin")

    assert [right] == certain(database, settings)


def test_a_note_with_a_remark_teaches_nothing(database, settings, note):
    """A remark is typed or said freely: which of its words were heard right nobody checked."""
    with database.writing() as session:
        amend(session, note, {"remark": "quiet cow"}, by="robin")
    with database.writing() as session:
        confirm(session, note, by="robin")

    assert [] == certain(database, settings)


def test_a_note_with_something_unheard_in_it_teaches_nothing(database, settings, clip, run):
    """Talk or a cough between the words stands for nothing that could be learnt."""
    run(clip("20260302_091500.opus", f"cow four twelve {FILLER} left hind outer sole ulcer"))
    with database.writing() as session:
        confirm(session, entry_id(database), by="robin")

    assert [] == certain(database, settings)


def test_a_note_confirmed_in_a_heap_teaches_nothing(database, settings, note):
    """Nobody looked at its words alone."""
    with database.writing() as session:
        visit = session.get_one(Entry, note).visit_id
        assert [note] == [one.id for one in confirm_unmarked(session, visit, by="robin")]

    assert [] == certain(database, settings)
