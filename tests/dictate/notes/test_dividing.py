"""Two notes said without a pause become two, each with its place in the recording."""

import numpy as np
import pytest
from sqlmodel import select

from dictate.large_work import Silent
from dictate.notes.dividing import Listened, divide
from dictate.notes.hearing_clips import keep_note, notes_in
from dictate.notes.reading_notes import read_notes
from dictate.notes.taking_in import Where, kept_path, take_in
from dictate.sound import RATE, describe, read_sound
from dictate.sound.cut_notes import write_note
from dictate.store.clips import entries_of_note, note_of_clip
from dictate.store.tables import Clip

FIRST = "cow four twelve left hind sole ulcer"
SECOND = "cow seven right hind clean"


def heard(text: str) -> Listened:
    """Words of half a second each, one after another."""
    words = [
        {"text": word, "start": at / 2, "end": at / 2 + 0.4, "confidence": 1.0}
        for at, word in enumerate(text.split())
    ]
    return Listened(
        words=words, alternatives=[words[:-1]], fits=[], engine="fake 1", model="none", has_speech=True,
        seconds_taken=0.1,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("said", "notes"),
    [
        (f"{FIRST} end of note {SECOND}", [f"{FIRST} end of note", SECOND]),
        (f"{FIRST} next cow {SECOND}", [FIRST, f"next cow {SECOND}"]),
        (
            f"{FIRST} end of note next cow seven clean",
            [f"{FIRST} end of note", "next cow seven clean"],
        ),
        (f"{FIRST} end of note", [f"{FIRST} end of note"]),
        (f"next cow {SECOND}", [f"next cow {SECOND}"]),
        (f"{FIRST} {SECOND}", [f"{FIRST} {SECOND}"]),
        ("", [""]),
    ],
)
def test_spoken_ends_divide(said, notes) -> None:
    """A cut lies after "end of note" and before "next cow", where there are words on both sides."""
    parts = divide(heard(said))

    assert notes == [" ".join(word["text"] for word in part.listened.words) for part in parts]


def test_a_part_has_its_own_times() -> None:
    """The cut is half-way between the words, and the second part's times begin there."""
    _, second = divide(heard(f"{FIRST} next cow {SECOND}"))

    assert second.start == pytest.approx(3.45)
    assert second.listened.words[0]["start"] == pytest.approx(0.05)


def take(database, settings, path, tags, said) -> list[Clip]:
    samples = np.random.default_rng(0).integers(-900, 900, 8 * RATE).astype(np.int16)
    write_note(path, samples, tags)
    take_in(database, settings, [path], Where(farm="Alder Farm"), watcher=Silent())
    with database.reading() as session:
        clip = session.exec(select(Clip)).one()
    keep_note(database, settings, clip, notes_in(path, heard(said)))
    read_notes(database, settings)
    with database.reading() as session:
        return list(session.exec(select(Clip).order_by(Clip.id)).all())


def test_a_cut_note_of_a_recording_becomes_two_clips(database, settings, tmp_path) -> None:
    """The second has its own sound, its exact place in the recording, and its time of day."""
    path = tmp_path / "20260302_091500_000160000.flac"
    tags = {"cut_from": "day.wav", "cut_start_sample": "160000", "cut_end_sample": "288000"}

    first, second = take(database, settings, path, tags, f"{FIRST} next cow {SECOND}")

    start = round(3.45 * RATE)
    about = describe(kept_path(settings, second))
    assert ("day.wav", str(160000 + start), "288000") == tuple(about.tags[name] for name in tags)
    whole = read_sound(kept_path(settings, first)).samples
    assert np.array_equal(whole[start:], read_sound(kept_path(settings, second)).samples)
    assert (second.recorded_at - first.recorded_at).total_seconds() == pytest.approx(3.45)
    with database.reading() as session:
        animals = [
            [
                entry.content["animal"]
                for entry in entries_of_note(session, note_of_clip(session, clip.id).id)
            ]
            for clip in (first, second)
        ]
    assert [["412"], ["7"]] == animals


def test_a_clip_from_a_phone_stays_one(database, settings, tmp_path) -> None:
    """It was one recording to its speaker; its entries are apart all the same."""
    said = f"{FIRST} next cow {SECOND}"

    clips = take(database, settings, tmp_path / "20260302_091500.flac", {}, said)

    assert 1 == len(clips)
