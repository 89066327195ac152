"""Each command through its entry point: what it prints where, and its exit code."""

import json
from pathlib import Path

import pytest

from dictate.cli.main import COMMANDS

NOTE = "cow four twelve left hind outer sole ulcer zone four rubber block on the inner look again in two weeks"


def _queue(dictate) -> list[dict]:
    return json.loads(dictate("queue", "--json").out)


def test_a_folder_is_heard_file_by_file(dictate, clip, tmp_path: Path) -> None:
    """In the order of their names; a folder without sound is an error."""
    clip("10.opus", "cow four twelve")
    clip("9.opus", NOTE)

    heard = [json.loads(line) for line in dictate("hear", tmp_path, "--json").out.splitlines()]

    assert ["9.opus", "10.opus"] == [Path(one["file"]).name for one in heard]
    assert NOTE == heard[0]["text"]
    (tmp_path / "empty").mkdir()
    assert dictate("hear", tmp_path / "empty").code != 0


def test_an_evening(dictate, clip, home: Path) -> None:
    """From a sound file to the record, the sheet, and back by undoing."""
    path = clip("20260302_081204.opus", NOTE)

    assert (0, "1 new, 0 known, 0 refused, 1 heard, 1 read\n") == (
        (ran := dictate("take-in", path)).code,
        ran.out,
    )
    (entry,) = _queue(dictate)
    assert ("412", NOTE) == (entry["values"]["animal"], entry["heard"])

    ran = dictate("amend", entry["id"], "animal=402", "zone=6", "--confirm")
    assert "402: left hind outer sole ulcer, zone 6" in ran.out
    assert [] == _queue(dictate)

    (visit,) = json.loads(dictate("animal", "402", "--json").out)["visits"]
    assert ("2026-03-02", entry["id"]) == (visit["date"], visit["entry_id"])

    sheet = Path(dictate("visit-sheet", "--out", home / "sheet.html").out.strip())
    assert "402" in sheet.read_text(encoding="utf-8")

    assert "waiting again" in dictate("undo").out
    assert (
        dictate("animal", "402").err
        == "402 at Alder Farm is present; nothing is confirmed of her\n"
    )

    ran = dictate("take-in", path)
    assert "1 known" in ran.out
    assert "1 file taken in before: Alder Farm, 2026-03-02." in ran.err
    ran = dictate("take-in")
    assert (0, "", "Nothing is unfinished. Name files or folders to take in\n") == (
        ran.code,
        ran.out,
        ran.err,
    )
    moved = dictate("visit", "move", "--farm", "Alder Farm", "--to-farm", "Hill Farm")
    assert moved.out.startswith("1 note moved to Hill Farm")
    ran = dictate("undo")
    assert (ran.out, ran.err) == ("", "The notes are back at Alder Farm, 2 Mar 2026.\n")
    assert ["412"] == [entry["values"]["animal"] for entry in _queue(dictate)]
    assert [] == json.loads(dictate("animal", "402", "--json").out)["visits"]


def test_a_farm_is_renamed_with_all_that_is_of_it(dictate, clip, home) -> None:
    """Also where the settings name it; a name that another farm has is refused."""
    (home / "settings.toml").write_text('farm = "Alder Farm"\ntrimmer = "Robin Field"\n')
    dictate("take-in", clip("20260302_081204.opus", NOTE))
    dictate("take-in", clip("20260303_081204.opus", NOTE + " again"), "--farm", "Hill Farm")

    assert dictate("farm", "rename", "Alder Farm", "Hill Farm").code != 0
    ran = dictate("farm", "rename", "Alder Farm", "Oak Farm")

    assert ran.out == "Alder Farm is called Oak Farm from now on\n"
    assert dictate("farm", "list").out.split("\n") == ["Hill Farm", "Oak Farm", ""]
    assert 'farm = "Oak Farm"' in (home / "settings.toml").read_text()
    assert "Oak Farm" in dictate("visit", "list").out
    assert "as the history left it" not in dictate("doctor").out


def test_bad_files_end_with_code_3_and_the_good_ones_are_in(dictate, clip, tmp_path: Path) -> None:
    """The message goes to stderr and names the file; stdout stays data."""
    good = clip("20260302_081204.opus", NOTE)

    ran = dictate("take-in", tmp_path / "missing.wav", good, "--json")

    assert 3 == ran.code
    assert "missing.wav" in ran.err
    told = json.loads(ran.out)
    assert (1, 1, 1) == (told["new"], told["refused"], len(told["faults"]))


def test_confirming_all_unmarked_lists_them_first(dictate, clip) -> None:
    """The act says what it will confirm, and leaves the marked ones."""
    dictate(
        "take-in",
        clip("20260302_081204.opus", NOTE),
        clip("20260302_081300.opus", "right hind clean"),
    )

    ran = dictate("confirm", "--unmarked", "--yes")

    assert "1 confirmed\n" == ran.out
    assert "412: left hind outer sole ulcer" in ran.err
    assert ["animal-carried"] == [
        mark for entry in _queue(dictate) for mark in entry["values"]["marks"]
    ]


def test_typing_what_was_said(dictate, clip) -> None:
    """A note that was not understood is typed and read anew; what was heard stays."""
    dictate("take-in", clip("20260302_081204.opus", "did you see the match"))
    (entry,) = _queue(dictate)

    dictate("amend", entry["id"], "--typed", "cow 412, left hind sole ulcer")

    (entry,) = _queue(dictate)
    assert ("412", "did you see the match") == (entry["values"]["animal"], entry["heard"])


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (["confirm", "77"], 6, "no entry 77"),
        (["animal", "9"], 6, "Alder Farm"),
        (["visit-sheet"], 6, "Alder Farm"),
        (["undo"], 6, "nothing that could be undone"),
        (["roster", "import", "nowhere.csv"], 8, "nowhere.csv"),
        (["confirm"], 2, "--unmarked"),
        (["queue", "--date", "yesterday"], 2, "2026-03-02"),
        (["no-such-command"], 2, "no-such-command"),
    ],
)
def test_faults_have_words_and_codes(dictate, arguments: list[str], code: int, said: str) -> None:
    """A fault says what is wrong on stderr, leaves stdout empty and ends with its code."""
    ran = dictate(*arguments)

    assert (code, "") == (ran.code, ran.out)
    assert said in ran.err
    assert "Traceback" not in ran.err


def test_conflict_and_impossible_decisions(dictate, clip) -> None:
    """A stale version ends with 7, a decision that makes no sense with 9."""
    dictate("take-in", clip("20260302_081204.opus", NOTE))
    (entry,) = _queue(dictate)

    assert 9 == dictate("amend", entry["id"], "lesion=sole ulser").code
    assert 9 == dictate("reject", entry["id"], "--reason", " ").code
    assert 0 == dictate("amend", entry["id"], "zone=6", "--version", "1").code
    assert 7 == dictate("confirm", entry["id"], "--version", "1").code
    assert 0 == dictate("reject", entry["id"], "--reason", "spoken twice").code
    assert "1 waiting again" in dictate("reject", entry["id"], "--back").out
    assert 2 == dictate("reject", entry["id"]).code
    assert 0 == dictate("reject", entry["id"], "--reason", "spoken twice").code
    assert 7 == dictate("confirm", entry["id"]).code


def test_roster_helps_to_doubt_a_number(dictate, clip, tmp_path: Path) -> None:
    """With a roster, a number that it lacks is marked."""
    roster = tmp_path / "roster.csv"
    roster.write_text("number\n400\n402\n")
    assert "2 added" in dictate("roster", "import", roster).out
    assert ["400", "402"] == [
        row["number"] for row in json.loads(dictate("roster", "list", "--json").out)
    ]

    dictate("take-in", clip("20260302_081204.opus", NOTE))

    assert "animal-not-on-roster" in _queue(dictate)[0]["values"]["marks"]


def test_unreadable_settings(dictate, home: Path) -> None:
    """A typing mistake in the settings is named, with the file."""
    (home / "settings.toml").write_text('trimer = "x"\npaper = "A5"\n')

    ran = dictate("queue")

    assert 2 == ran.code
    for part in ("trimer", "paper", "settings.toml"):
        assert part in ran.err


@pytest.mark.parametrize("module", COMMANDS)
def test_every_command_explains_itself(dictate, module: str) -> None:
    """`--help` works for every command and says something."""
    ran = dictate(module.replace("_", "-"), "--help")

    assert 0 == ran.code
    assert "Usage" in ran.out


def test_doctor_names_what_is_wrong(dictate, clip, home: Path) -> None:
    """A vanished clip and an altered one are found, with what to do."""
    dictate("take-in", clip("a.opus", NOTE), clip("b.opus", NOTE))
    assert 0 == dictate("doctor").code
    first, second = sorted((home / "sounds").rglob("*.opus"))
    first.unlink()
    second.write_bytes(b"altered")

    ran = dictate("doctor", "--json")

    assert 1 == ran.code
    wrong = [one for one in json.loads(ran.out) if not one["ok"]]
    assert ["sound", "sound"] == [one["part"] for one in wrong]
    assert all(one["remedy"] for one in wrong)


def test_sound_is_forgotten_and_the_record_stays(dictate, clip) -> None:
    """A preview changes nothing; afterwards the entry stays confirmed, and the doctor is content."""
    dictate("take-in", clip("20260302_081204.opus", NOTE))
    entry = _queue(dictate)[0]["id"]
    kept = dictate("forget-audio", "--before", "2026-03-03")
    dictate("confirm", entry)

    preview = json.loads(
        dictate("forget-audio", "--before", "2026-03-03", "--dry-run", "--json").out
    )
    forgotten = json.loads(dictate("forget-audio", "--before", "2026-03-03", "--json").out)

    assert "Waiting for review, sound kept: 1" in kept.err
    assert preview == forgotten
    assert 1 == forgotten["clips"]
    assert 0 == json.loads(dictate("forget-audio", "--before", "2026-03-03", "--json").out)["clips"]
    assert "412" in dictate("animal", "412").out
    assert 2 == dictate("forget-audio", "--before", "yesterday").code


def test_without_a_command_the_page_opens(dictate, monkeypatch: pytest.MonkeyPatch) -> None:
    """`dictate` alone is all that somebody needs who never saw a terminal."""
    opened: list[str] = []
    monkeypatch.setattr("dictate.web.serve.serve", lambda *_, **__: opened.append("page"))

    assert dictate().code == 0
    assert opened == ["page"]
