"""A correction said as a note of its own changes the note before, while that one waits."""

import pytest
from sqlmodel import select

from dictate.notes import live_notes, reaching_back
from dictate.notes.context import Context
from dictate.notes.correcting import corrected_by
from dictate.notes.listening import answer_to
from dictate.notes.queueing import queue_entries
from dictate.store.clips import entries_of_note, heard_reading, note_of_clip
from dictate.store.history import history_of
from dictate.store.tables import Clip, Entry, Note, Reading
from grammar import Word, load_lexicon
from tests.deciding import confirm, undo
from tests.fake_engine import FakeEngine

ULCER = "cow four twelve left hind outer sole ulcer zone four"


@pytest.fixture
def say(clip, run):
    """Say notes ten seconds apart, each taken in as it is said; the notes' own entries at the end."""
    said = 0

    def go(*notes: str) -> None:
        nonlocal said
        for text in notes:
            run(clip(f"20260302_0915{said:02d}.opus", text))
            said += 10

    return go


def _words(text: str) -> list[Word]:
    return [Word(text=word) for word in text.split()]


def notes_of(database) -> list[list[Entry]]:
    with database.reading() as session:
        clips = session.exec(select(Clip).order_by(Clip.file_name)).all()
        return [entries_of_note(session, note_of_clip(session, clip.id).id) for clip in clips]


@pytest.mark.parametrize(
    ("correction", "foot", "zone"),
    [
        ("correction zone three", "LH", 3),
        ("no right hind", "RH", 4),
        ("make that right hind", "RH", 4),
    ],
)
def test_correction_changes_the_note_before(database, say, correction, foot, zone) -> None:
    """The waiting entry changes and is marked; the correction's own entry asks nothing more."""
    say(ULCER, correction)

    [[entry], [own]] = notes_of(database)
    values = entry.values
    assert ("waiting", "rejected") == (entry.state, own.state)
    assert (foot, zone) == (values.findings[0].foot, values.findings[0].zone)
    assert "corrected-after" in values.marks
    with database.reading() as session:
        assert ["queued", "read again"] == [
            one.kind for one in history_of(session, "entry", entry.id)
        ]


def test_scratch_that_takes_the_note_before_back(database, say) -> None:
    """The entry is rejected with its reason; what took it back waits for a person."""
    say(ULCER, "scratch that")

    [[entry], [own]] = notes_of(database)
    assert ("rejected", "waiting") == (entry.state, own.state)
    assert "taken back by the note after it: scratch that" == entry.reason
    assert ["took-back"] == own.content["marks"]
    with database.reading() as session:
        note = session.get_one(Note, own.note_id)
        assert entry.note_id == corrected_by(session, note).id


def test_two_corrections_in_a_row_both_count(database, say) -> None:
    """The second corrects what the first one left."""
    say(ULCER, "correction zone three", "correction right hind")

    [[entry], _, _] = notes_of(database)
    finding = entry.values.findings[0]
    assert ("RH", 3) == (finding.foot, finding.zone)


def test_a_confirmed_note_is_never_changed(database, say) -> None:
    """A correction that comes after the decision waits for a person by itself."""
    say(ULCER)
    with database.writing() as session:
        confirm(session, session.exec(select(Entry)).one().id, by="robin")
    say("scratch that")

    [[entry], [own]] = notes_of(database)
    assert ("confirmed", "waiting") == (entry.state, own.state)


@pytest.mark.parametrize(
    "note", ["cow seven right hind clean", "no ulcer on the right hind", "right hind clean"]
)
def test_a_note_of_its_own_changes_nothing_before(database, say, note) -> None:
    """Only a note that begins with a correction reaches back."""
    say(ULCER, note)

    [[entry], [own]] = notes_of(database)
    assert ("waiting", "waiting") == (entry.state, own.state)
    assert 4 == entry.values.findings[0].zone


def test_a_correction_long_after_stands_alone(database, clip, run) -> None:
    """Minutes later nobody knows what it was about."""
    run(clip("20260302_091500.opus", ULCER))
    run(clip("20260302_092500.opus", "scratch that"))

    assert ["waiting", "waiting"] == [entry.state for [entry] in notes_of(database)]


def test_notes_taken_in_together_give_the_same(database, clip, run) -> None:
    """Live or in the evening: the same words give the same queue."""
    run(
        clip("20260302_091500.opus", ULCER),
        clip("20260302_091510.opus", "correction zone three"),
        clip("20260302_091520.opus", "cow seven left front clean"),
        clip("20260302_091530.opus", "scratch that"),
    )

    states = [entry.state for [entry] in notes_of(database)]
    assert ["waiting", "rejected", "rejected", "waiting"] == states


def test_what_was_taken_back_can_be_put_back(database, say) -> None:
    """A "scratch that" that nobody said costs one undo."""
    say(ULCER, "scratch that")
    [[entry], _] = notes_of(database)

    with database.writing() as session:
        undo(session, entry.id, by="robin")

    assert "waiting" == notes_of(database)[0][0].state


def test_live_a_correction_is_answered_with_what_it_changed(
    database, settings, clip, monkeypatch
) -> None:
    """The line after a correction is that of the note before, as it is now."""
    files = [
        clip("20260302_091500.opus", ULCER),
        clip("20260302_091510.opus", "correction zone three"),
        clip("20260302_091520.opus", "scratch that"),
    ]
    monkeypatch.setattr(live_notes, "open_engine", lambda *_, **__: FakeEngine(clip.said))
    understand = live_notes.Understanding(database, settings, farm="Alder Farm")

    lines = [answer_to(understand(path))[1] for path in files]

    assert lines == [
        "4 12, left hind outer, sole ulcer, zone 4",
        "4 12, changed, left hind outer, sole ulcer, zone 3",
        "taken back, 4 12",
    ]


def test_an_entry_that_a_reading_lacked_comes_back_with_the_next_that_has_it(database, say) -> None:
    """Read again as one animal's and then as two animals' once more, nothing is lost."""
    say("cow four twelve left hind clean next cow nine clean")
    with database.writing() as session:
        note = session.exec(select(Note)).one()
        two = heard_reading(session, note.id)
        for entries in (two.entries[:1], two.entries):
            session.add(
                Reading(
                    note_id=note.id, origin="again", who="dictate", lexicon=two.lexicon,
                    content=two.content, entries=entries,
                )
            )  # fmt: skip
            queue_entries(session, note)
            waits = [
                one.content["animal"]
                for one in entries_of_note(session, note.id)
                if one.state == "waiting"
            ]
            assert ["412", "9"][: len(entries)] == waits


def test_only_what_may_be_a_correction_is_read_with_the_note_before() -> None:
    """Each phrase that corrects may reach back, past fillers too; a usual note never does."""

    def may(text: str) -> bool:
        return reaching_back._may_reach_back(_words(text), Context(aliases={"belay that": "x"}))

    corrects = ("CORRECTION", "NO", "NOT", "WRONGCOW")
    terms = load_lexicon().terms.values()
    phrases = [
        term.phrase
        for term in terms
        if term.tag in corrects or str(term.value).startswith("scratch")
    ]
    assert len(phrases) > 500
    assert [] == [phrase for phrase in phrases if not may(f"well um {phrase} right hind")]
    assert may("right hind scratch that")
    assert may("belay that right hind")
    assert not may("cow four twelve left hind outer sole ulcer")
    assert not may("right hind clean")
