"""Sound goes when it should, and the record stays."""

import datetime as dt

import pytest
from sqlmodel import select

from dictate.errors import NotFoundError
from dictate.exchange.open_folder import _clip
from dictate.large_work import Silent
from dictate.notes.forgetting import forget_by_settings, forget_sound
from dictate.notes.pipeline import run_batch
from dictate.notes.taking_in import Fate, Where, kept_path, take_in
from dictate.store.history import history_of
from dictate.store.tables import Clip, Entry
from dictate.store.visits import visit_for
from tests.deciding import confirm
from tests.fake_engine import FakeEngine

SAYS = "cow four twelve left hind outer sole ulcer"
LATE = dt.date(2026, 4, 1)


def entries(session):
    return session.exec(select(Entry)).all()


def decide_all(database):
    with database.writing() as session:
        for entry in entries(session):
            confirm(session, entry.id, by="robin")


def test_forgotten_sound_leaves_the_record_and_a_line_of_history(database, settings, clip, run):
    """Dropping a confirmed note's sound keeps its words and its entry, and tells who did it."""
    run(clip("20260302_091500.opus", SAYS))
    decide_all(database)
    with database.reading() as session:
        before = [entry.content for entry in entries(session)]

    gone = forget_sound(database, settings, who="robin", before=LATE)

    with database.reading() as session:
        kept = session.exec(select(Clip)).one()
        assert gone.clips == 1
        assert gone.bytes > 0
        assert not kept_path(settings, kept).exists()
        assert before == [entry.content for entry in entries(session)]
        assert [("robin", "sound forgotten")] == [
            (event.who, event.kind) for event in history_of(session, "clip", kept.id)
        ]
        assert "forgotten on" in _clip(session, kept, None)


def test_waiting_and_later_notes_keep_their_sound(database, settings, clip, run):
    """Only reviewed notes from before the day lose their sound, unless waiting ones are named."""
    run(clip("20260302_091500.opus", SAYS), clip("20260402_091500.opus", SAYS))

    first = forget_sound(database, settings, who="robin", before=LATE)
    preview = forget_sound(
        database, settings, who="robin", before=LATE, also_waiting=True, dry_run=True
    )
    second = forget_sound(database, settings, who="robin", before=LATE, also_waiting=True)

    assert (first.clips, first.waiting) == (0, 1)
    assert preview == second
    assert second.clips == 1
    assert len(list(settings.sounds.rglob("*.opus"))) == 1


def test_whose_and_which_sound_is_said(database, settings, clip, run):
    """The trimmer, the visits, and what is left: later days and other trimmers' sound."""
    run(clip("20260302_091500.opus", SAYS), clip("20260402_091500.opus", SAYS))
    decide_all(database)
    with database.writing() as session:
        other = visit_for(session, farm="Elm Farm", trimmer="Kim Green", date=LATE)
        session.exec(select(Clip)).all()[1].visit_id = other.id

    theirs = forget_sound(database, settings, who="robin", whose="Kim Green", dry_run=True)
    own = forget_sound(database, settings, who="robin", before=dt.date(2026, 3, 2))

    assert (theirs.whose, theirs.visits, theirs.of_others) == (
        "Kim Green",
        ((LATE, "Elm Farm", 1),),
        1,
    )
    assert (own.whose, own.visits, own.clips, own.later, own.of_others) == (
        "Robin Field",
        (),
        0,
        1,
        1,
    )
    with pytest.raises(NotFoundError, match="Kim Green, Robin Field"):
        forget_sound(database, settings, who="robin", whose="Nobody")


def test_a_clip_that_was_not_heard_is_never_forgotten(database, settings, clip):
    """Its note would be lost with the sound."""
    files = [clip("20260302_091500.opus", SAYS)]
    take_in(database, settings, files, Where(farm="Alder Farm"), watcher=Silent())

    gone = forget_sound(database, settings, who="robin", before=LATE, also_waiting=True)

    assert (gone.clips, gone.unheard) == (0, 1)


def test_taking_a_forgotten_note_in_again_does_not_bring_it_back(database, settings, clip, run):
    """Forgetting is on purpose, and the outcome says so."""
    path = clip("20260302_091500.opus", SAYS)
    run(path)
    forget_sound(database, settings, who="robin", also_waiting=True)

    [outcome] = run(path).files

    assert outcome.fate == Fate.KNOWN
    assert "its sound was forgotten on" in outcome.message
    assert not list(settings.sounds.rglob("*.opus"))


def test_a_run_that_was_cut_short_is_finished_by_the_next(database, settings, clip, run):
    """A file whose forgetting is in the history already goes when the command runs again."""
    run(clip("20260302_091500.opus", SAYS))
    with database.reading() as session:
        path = kept_path(settings, session.exec(select(Clip)).one())
    data = path.read_bytes()
    forget_sound(database, settings, who="robin", also_waiting=True)
    path.write_bytes(data)

    gone = forget_sound(database, settings, who="robin", also_waiting=True)

    assert gone.clips == 1
    assert not path.exists()


def test_keeping_none_drops_the_sound_once_it_was_heard(database, settings, clip):
    """`keep = "none"` leaves words and entries, and no sound."""
    none = settings.model_copy(update={"keep": "none"})
    path = clip("20260302_091500.opus", SAYS)
    engine = FakeEngine(clip.said)

    run_batch(database, none, [path], Where(farm="Alder Farm"), lambda _roster: engine)

    assert not list(settings.sounds.rglob("*.opus"))
    with database.reading() as session:
        assert "412" == entries(session)[0].content["animal"]


def test_retention_forgets_reviewed_sound_after_its_days(database, settings, clip, run):
    """`keep_days` counts from the visit and leaves waiting notes alone."""
    run(clip("20260302_091500.opus", SAYS))
    old = settings.model_copy(update={"keep_days": 30})

    waiting = forget_by_settings(database, old, today=LATE)
    decide_all(database)
    early = forget_by_settings(database, old, today=dt.date(2026, 4, 1))
    due = forget_by_settings(database, old, today=dt.date(2026, 4, 2))

    assert [0, 0, 1] == [waiting.clips, early.clips, due.clips]
