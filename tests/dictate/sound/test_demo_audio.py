"""The demo day: every clip is there, is spoken (or not) as its script says, and is well formed."""

import csv
import datetime as dt
import tomllib

import pytest

from dictate.entry.values import EntryValues
from dictate.sound import has_speech, read_sound, recorded_at
from tests.fake_engine import DEMO

SCRIPT = tomllib.loads((DEMO / "notes.toml").read_text(encoding="utf-8"))
NOTES = SCRIPT["note"]


def table(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((DEMO / name).read_text(encoding="utf-8").splitlines()))


def test_every_clip_has_its_note_and_fits() -> None:
    """Clips and notes match one to one, and the folder stays under 8 MB."""
    clips = sorted(path.name for path in DEMO.glob("*.opus"))

    assert clips == [note["clip"] for note in NOTES]
    assert len(clips) >= 30
    assert sum(path.stat().st_size for path in DEMO.iterdir() if path.is_file()) < 8_000_000


@pytest.mark.parametrize("note", NOTES, ids=[note["clip"] for note in NOTES])
def test_clip_and_script_agree(note: dict) -> None:
    """A clip is short 16 kHz speech of the scripted day; the one that is only noise is not speech."""
    path = DEMO / note["clip"]
    sound = read_sound(path)

    assert 1 < sound.seconds < 20
    assert has_speech(sound) == bool(note["said"])
    known = recorded_at(path)
    assert (known.source, known.moment.date()) == ("file name", SCRIPT["date"])
    for entry in note["entries"]:
        EntryValues.model_validate(entry)
    assert note["review"]["decision"] in {"confirm", "amend", "reject"}
    assert note["review"]["by"]
    for change in note["review"].get("changes", []):
        changed = {key: value for key, value in change.items() if key != "entry"}
        EntryValues.model_validate(note["entries"][change["entry"]] | changed)


def test_no_reserved_voice_speaks() -> None:
    """The voices kept for independent checks are not used here."""
    voices = {row["voice"] for row in table("clips.csv")}

    assert len(voices) > 10
    assert not any(kept in voice for voice in voices for kept in ("awb", "jf_nezumi", "jm_kumo"))


def test_roster_is_of_test_animals() -> None:
    """Every animal of the record is on the roster, under a number that no real animal bears."""
    rows = table("roster.csv")
    herd = {row["number"] for row in rows}
    recorded = {
        change.get("animal", entry["animal"])
        for note in NOTES
        for number, entry in enumerate(note["entries"])
        for change in [c for c in note["review"].get("changes", []) if c.get("entry") == number]
        or [{}]
    }

    assert recorded <= herd
    assert len({row["eid"] for row in rows}) == len(rows)
    assert all(len(row["eid"]) == 15 and row["eid"].startswith("999") for row in rows)
    for row in rows:
        assert (
            not row["calving date"] or dt.date.fromisoformat(row["calving date"]) < SCRIPT["date"]
        )
