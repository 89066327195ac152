"""From files to the queue: nothing twice, nothing lost, whatever happens in between."""

import signal
from pathlib import Path

import pytest
from forked import ended, started
from killed import Collapses, take_in, take_in_hearing_with
from sqlmodel import func, select

from dictate.entry.values import EntryValues
from dictate.errors import ModelError, SoundError
from dictate.notes.pipeline import run_batch
from dictate.notes.reading_notes import read_visit
from dictate.notes.taking_in import Fate, Where, find_files, kept_path
from dictate.review.waiting import waiting
from dictate.settings import Settings
from dictate.sound import read_sound
from dictate.store.clips import heard_reading
from dictate.store.database import Database, open_database
from dictate.store.history import history_of
from dictate.store.tables import Clip, Entry, Event, Note, Reading
from tests.deciding import amend, confirm
from tests.fake_engine import FakeEngine

ULCER = "cow four twelve left hind outer sole ulcer zone four"
CLEAN = "right hind clean"


def _queue(database: Database) -> dict[str, list[EntryValues]]:
    """Values of the waiting entries, by clip, in the order of the clips' names."""
    found: dict[str, list[EntryValues]] = {}
    with database.reading() as session:
        for entry in sorted(waiting(session), key=lambda entry: (entry.clip, entry.id)):
            found.setdefault(entry.clip, []).append(entry.values)
    return found


def _animals(database: Database) -> list[str | None]:
    return [values.animal for entries in _queue(database).values() for values in entries]


def _sizes(database: Database) -> dict[str, int]:
    with database.reading() as session:
        return {
            table.__tablename__: session.exec(select(func.count()).select_from(table)).one()
            for table in (Clip, Note, Reading, Entry, Event)
        }


def test_clip_becomes_a_waiting_entry(database: Database, clip, run) -> None:
    """What was said waits with its values; the note keeps the heard words, engine and lexicon."""
    run(clip("a.opus", ULCER))

    ((values,),) = _queue(database).values()
    assert ("412", "LH", "outer", 4, "sole ulcer") == (
        values.animal,
        values.findings[0].foot,
        values.findings[0].claw,
        values.findings[0].zone,
        values.findings[0].lesion,
    )
    with database.reading() as session:
        note = session.exec(select(Note)).one()
        reading = heard_reading(session, note.id)
        assert ULCER.split() == [word["text"] for word in note.words]
        assert ("waiting", "fake 1", "none") == (note.state, note.engine, note.model)
        assert reading.lexicon
        assert ULCER.split() == reading.content["words"]


def test_same_files_twice_add_nothing(database: Database, clip, run) -> None:
    """The same bytes under any name are known."""
    first = clip("a.opus", ULCER)
    run(first)
    before = _sizes(database)
    other_name = first.with_name("copy.opus")
    other_name.write_bytes(first.read_bytes())

    batch = run(first, other_name)

    assert [Fate.KNOWN, Fate.KNOWN] == [taken.fate for taken in batch.files]
    assert before == _sizes(database)


def test_bad_files_are_named_and_the_rest_goes_on(
    database: Database, clip, run, tmp_path: Path
) -> None:
    """Each bad file gets one message that names it; good ones before and after are taken in."""
    good = clip("a.opus", ULCER)
    empty, text, cut = (tmp_path / name for name in ("empty.wav", "words.wav", "cut.opus"))
    empty.write_bytes(b"")
    text.write_text("not sound at all " * 50)
    cut.write_bytes(good.read_bytes()[:300])
    bad = [tmp_path / "missing.wav", empty, text, cut]

    batch = run(bad[0], good, *bad[1:])

    assert (1, 4, 3) == (batch.count(Fate.NEW), len(batch.faults), batch.exit_code)
    assert all(str(path) in fault for path, fault in zip(bad, batch.faults, strict=True))
    assert ["412"] == _animals(database)


def test_animal_carries_over_in_order_of_time(database: Database, clip, run) -> None:
    """The order is that of the recording, not that of the files given, and it is marked."""
    first = clip("20260302_080000.opus", ULCER)
    second = clip("20260302_080100.opus", CLEAN)

    run(second, first)

    assert ["412", "412"] == _animals(database)
    assert "animal-carried" in _queue(database)["20260302_080100.opus"][0].marks


def test_late_clip_changes_what_was_carried(database: Database, clip, run) -> None:
    """A note that comes in between is heeded by the untouched notes behind it."""
    run(clip("20260302_080000.opus", ULCER), clip("20260302_080200.opus", CLEAN))

    run(clip("20260302_080100.opus", "cow seven left front clean"))

    assert ["412", "7", "7"] == _animals(database)


def test_corrected_animal_goes_along(database: Database, settings: Settings, clip, run) -> None:
    """When a person corrects the number, the notes that carried it get the right one."""
    run(clip("20260302_080000.opus", ULCER), clip("20260302_080100.opus", CLEAN))
    with database.writing() as session:
        first = next(entry for entry in waiting(session) if entry.clip == "20260302_080000.opus")
        amend(session, first.id, {"animal": "402"}, by="Robin")
    read_visit(database, settings, first.visit_id)

    assert ["402", "402"] == _animals(database)


def test_touched_entries_are_never_read_again(database: Database, clip, run) -> None:
    """What a person changed stays, but an animal that was never said follows; it is never silent."""
    run(clip("20260302_080000.opus", ULCER), clip("20260302_080200.opus", CLEAN))
    with database.writing() as session:
        last = next(entry for entry in waiting(session) if entry.clip == "20260302_080200.opus")
        amend(session, last.id, {"findings.0.zone": 3}, by="Robin")
        confirm(session, last.id, by="Robin")

    run(clip("20260302_080100.opus", "cow seven left front clean"))

    with database.reading() as session:
        entry = session.get_one(Entry, last.id)
        assert ("waiting", "7", 3) == (
            entry.state,
            entry.content["animal"],
            entry.content["findings"][0]["zone"],
        )
        assert "animal-carried" in entry.content["marks"]
        assert "handed on" == history_of(session, "entry", last.id)[-1].kind


@pytest.mark.parametrize(
    ("says", "mark"),
    [
        ("", "no-speech"),
        ("the oboe sonata", "nothing-understood"),
        ("did you see the match", "nothing-to-record"),
        ("end of note", "nothing-to-record"),
    ],
)
def test_notes_without_an_entry_wait_all_the_same(
    database: Database, clip, run, says: str, mark: str
) -> None:
    """A note that gave nothing is looked at by a person; it never just disappears."""
    run(clip("a.opus", says))

    ((values,),) = _queue(database).values()
    assert ((mark,), None) == (values.marks, values.animal)


def test_animal_alone_is_marked(database: Database, clip, run) -> None:
    """A number of which nothing was understood wants a look; it is never confirmed in bulk."""
    run(clip("a.opus", "number two hundred and seven"))

    ((values,),) = _queue(database).values()
    assert ("207", True) == (values.animal, "animal-alone" in values.marks)


def test_words_not_understood_hand_no_animal_on(database: Database, clip, run) -> None:
    """Words that were not understood may have named another animal."""
    run(
        clip("20260302_080000.opus", ULCER),
        clip("20260302_080100.opus", "the oboe sonata"),
        clip("20260302_080200.opus", CLEAN),
    )

    assert ["412", None, None] == _animals(database)


def test_own_intervals_fill_what_was_left_open(
    database: Database, settings: Settings, clip
) -> None:
    """The trimmer's own interval is used for a follow-up without a date, and never another's."""
    path = clip(
        "20260302_080000.opus", "cow four twelve left hind sole ulcer look again call the vet"
    )
    own = settings.model_copy(update={"intervals": {"look again": 10}})
    engine = FakeEngine(clip.said)

    run_batch(database, own, [path], Where(farm="Alder Farm"), lambda _roster: engine)

    ((values,),) = _queue(database).values()
    due = {one.kind: (one.in_days, str(one.date)) for one in values.follow_ups}
    assert (10, "2026-03-12") == due["look again"]
    assert (None, "None") == due["vet"]


def test_lost_sound_is_named_and_comes_back(
    database: Database, settings: Settings, clip, run
) -> None:
    """A kept file that vanished before it was heard is a fault, until the original is taken in again."""
    first, second = clip("a.opus", ULCER), clip("b.opus", "cow seven left front clean")

    def no_model(_roster):
        raise ModelError("no model")

    with pytest.raises(ModelError):
        run_batch(database, settings, [first, second], Where(farm="Alder Farm"), no_model)
    with database.reading() as session:
        lost = kept_path(
            settings, session.exec(select(Clip).where(Clip.file_name == "a.opus")).one()
        )
    lost.unlink()

    assert (1, ["7"]) == (len(run().faults), _animals(database))

    run(first)

    assert ["412", "7"] == _animals(database)


def test_folders_are_opened_up(tmp_path: Path) -> None:
    """Sound files of a folder come in natural order; other and hidden files are left alone."""
    for name in ("note 10.wav", "note 2.wav", "list.csv", ".hidden.wav", "deep/note 1.opus"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).touch()

    names = [str(path.relative_to(tmp_path)) for path in find_files([tmp_path])]

    assert ["deep/note 1.opus", "note 2.wav", "note 10.wav"] == names


def test_the_whole_disk_is_no_folder_of_recordings() -> None:
    """Looking through it takes minutes, and what is found is nobody's day; a stick or card is fine."""
    with pytest.raises(SoundError, match="whole disk"):
        find_files([Path("/")])


@pytest.mark.parametrize("after", [False, True], ids=["before-commit", "after-commit"])
@pytest.mark.parametrize("number", range(8))
def test_killed_anywhere_and_run_again(settings: Settings, clip, number: int, after: bool) -> None:
    """After kill -9 at any commit, the next run ends with the same notes and entries as an undisturbed one."""
    files = [
        clip("20260302_080000.opus", ULCER),
        clip("20260302_080100.opus", "right hind clean next cow nine right front clean"),
    ]
    open_database(settings.database_url).close()

    assert -signal.SIGKILL == ended(started(take_in, settings, files, clip.said, number, after))
    assert 0 == ended(started(take_in, settings, files, clip.said))
    with open_database(settings.database_url) as database:
        assert ["412", "412", "9"] == _animals(database)
        assert {"clip": 2, "note": 2, "reading": 2, "entry": 3, "event": 4} == _sizes(
            database
        )  # the farm is one


@pytest.mark.parametrize(
    ("moves", "runs", "heard"),
    [((0, 80), 3, ["412", "7"]), ((0, 80, 200), 4, [None, "7"])],
    ids=["heard-a-little-moved", "never-heard"],
)
def test_a_sound_that_takes_the_recogniser_down_stops_nothing_behind_it(
    settings: Settings, clip, moves: tuple[int, ...], runs: int, heard: list[str | None]
) -> None:
    """It is heard with a little silence before it; if that does not help, its note has no words, and waits."""
    files = [clip("20260302_080000.opus", ULCER), clip("20260302_080100.opus", "cow seven clean")]
    bad = read_sound(files[0])
    engine = Collapses(
        clip.said, over=frozenset((bad.sha256, len(bad.samples) + more) for more in moves)
    )
    open_database(settings.database_url).close()

    for _ in range(runs):
        assert -signal.SIGABRT == ended(started(take_in_hearing_with, settings, files, engine))
    assert 0 == ended(started(take_in_hearing_with, settings, files, engine))

    assert not (settings.home / "hearing").exists()
    with open_database(settings.database_url) as database:
        assert heard == _animals(database)


def test_two_programs_at_once(settings: Settings, clip) -> None:
    """Two runs on the same files at the same time end with everything once."""
    files = [
        clip(f"20260302_08000{n}.opus", f"cow {word} left hind clean")
        for n, word in enumerate(("one", "two", "three"))
    ]
    other = started(take_in, settings, files, clip.said)
    take_in(settings, files, clip.said)
    assert 0 == ended(other)

    with open_database(settings.database_url) as database:
        assert ["1", "2", "3"] == _animals(database)
        assert {"clip": 3, "note": 3, "reading": 3, "entry": 3, "event": 4} == _sizes(
            database
        )  # the farm is one


def test_history_starts_with_the_queue(database: Database, clip, run) -> None:
    """The first event of an entry is the program's own."""
    run(clip("a.opus", ULCER))
    with database.reading() as session:
        (entry,) = waiting(session)
        assert [("queued", "dictate")] == [
            (event.kind, event.who) for event in history_of(session, "entry", entry.id)
        ]
