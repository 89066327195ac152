"""The commands that ask the confirmed record, as a person uses them."""

import csv
import datetime as dt
import io
import json
import sqlite3

import icalendar
import pytest

from tests.deciding import confirm

ULCER = {"lesion": "sole ulcer", "foot": "LH", "claw": "outer", "zone": 4}
DAY_ONE = {
    "animal": "412",
    "findings": [ULCER, {"lesion": "digital dermatitis", "foot": "RH", "stage": "M2"}],
    "actions": [{"kind": "block", "foot": "LH", "claw": "inner", "material": "=rubber"}],
    "follow_ups": [
        {"kind": "look again", "in_days": 14, "date": "2026-03-16", "when": "in two weeks"}
    ],
}


@pytest.fixture
def record(dictate, database, queue):
    """Two confirmed animals at Alder Farm; prices for blocks."""
    entries = queue(DAY_ONE, {"animal": "7", "findings": [{"lesion": "no lesion"}]})
    with database.writing() as session:
        for entry in entries:
            confirm(session, entry, by="Robin Field")
    return dictate


def test_the_herd_picture_gives_count_and_denominator(record):
    figures = json.loads(record("herd", "picture", "--json").out)["trims"][0]
    assert figures["trim"] == "not stated"
    assert {row["lesion"]: (row["count"], row["out_of"]) for row in figures["herd"]} == {
        "any lesion": (1, 2),
        "sole ulcer": (1, 2),
        "digital dermatitis": (1, 2),
    }
    shown = record("herd", "picture")
    assert "must not be compared" in shown.err
    assert "50.0" in shown.out


@pytest.mark.parametrize("suffix", [".html", ".pdf"])
def test_the_herd_picture_is_written_as_page_and_pdf(record, tmp_path, suffix):
    out = tmp_path / f"herd{suffix}"
    assert record("herd", "picture", "--out", out).out.strip() == str(out)
    assert out.read_bytes()[:4] in (b"<!do", b"%PDF")


def test_open_and_repeated_cases(record):
    cases = json.loads(record("herd", "open", "--json").out)
    assert [(c["animal"], c["case"], c["foot"], c["visits"]) for c in cases] == [
        ("412", "digital dermatitis", "RH", 1),
        ("412", "sole ulcer", "LH", 1),
    ]
    assert "began 2 times or more" in record("herd", "repeats", "--until", "2026-12-31").err
    assert "no two visits" in record("herd", "changes").err


def test_two_feet_of_one_visit_are_one_time(record, database, queue):
    """A case is a foot, a lesion and when it began: only the second visit makes her a repeat."""
    later = queue(
        {"animal": "412", "findings": [{"lesion": "toe ulcer", "foot": "LF", "claw": "inner"}]},
        date=dt.date(2026, 6, 1),
    )
    with database.writing() as session:
        confirm(session, later[0], by="Robin Field")
    said = record("herd", "repeats", "--until", "2026-12-31").out
    assert said.startswith("412\t2\t")
    assert "LF inner toe ulcer" in said


def test_follow_ups_are_listed_put_off_ticked_and_opened_again(record):
    (due,) = json.loads(record("follow-ups", "list", "--json").out)
    assert (due["animal"], due["kind"], due["due_on"], due["said"]) == ("412", "look again", "2026-03-16", "in two weeks")  # fmt: skip
    assert "local law decide" in record("follow-ups", "list").err
    assert due["about"] == "LH outer sole ulcer; RH digital dermatitis"
    later = (dt.date.today() + dt.timedelta(days=10)).isoformat()
    snoozed = record("follow-ups", "snooze", due["id"], later)
    assert snoozed.out.startswith("412: look again (LH outer sole ulcer; RH digital dermatitis): put off to")  # fmt: skip
    assert json.loads(record("follow-ups", "list", "--json").out)[0]["due_on"] == later
    assert (9, "is past") == (
        (ran := record("follow-ups", "snooze", due["id"], "2026-03-20")).code, ran.err.split(". ")[0][-7:],
    )  # fmt: skip
    assert "no follow-up 77" in record("follow-ups", "done", 77).err
    assert "412: look again" in record("follow-ups", "done", due["id"]).out
    assert "Nothing is due" in record("follow-ups", "list").err
    assert "was done on" in record("follow-ups", "done", due["id"]).err
    assert record("follow-ups", "reopen", due["id"]).code == 0
    assert len(json.loads(record("follow-ups", "list", "--json").out)) == 1


def test_the_calendar_file(record, tmp_path):
    record("follow-ups", "calendar", tmp_path / "due.ics")
    (event,) = icalendar.Calendar.from_ical((tmp_path / "due.ics").read_bytes()).walk("VEVENT")
    assert str(event["summary"]) == "Alder Farm: look again 412"
    assert "412: LH outer sole ulcer; RH digital dermatitis" in str(event["description"])


def test_a_stroke_for_a_file_is_the_standard_output(record, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (event,) = icalendar.Calendar.from_ical(record("follow-ups", "calendar", "-").out).walk(
        "VEVENT"
    )
    assert str(event["summary"]) == "Alder Farm: look again 412"
    assert list(csv.DictReader(io.StringIO(record("tally", "--out", "-").out)))
    assert not list(tmp_path.glob("-"))


def test_the_tally_uses_the_trimmers_own_prices(record, home, tmp_path):
    bare = record("tally")
    assert "block: no price in settings.toml" in bare.err
    with (home / "settings.toml").open("a") as file:
        file.write('currency = "CHF"\n[prices]\nblock = "18.50"\n[charge_by]\nblock = "foot"\n')
    assert "total CHF 18.50" in record("tally").out
    record("tally", "--out", tmp_path / "tally.csv")
    (row,) = csv.DictReader(io.StringIO((tmp_path / "tally.csv").read_text("utf-8")))
    assert (row["what"], row["times"], row["amount"], row["currency"]) == (
        "block",
        "1",
        "18.50",
        "CHF",
    )


def test_export_and_import_through_the_commands(record, tmp_path, monkeypatch):
    assert "finding\t3" in record("export", tmp_path / "one").out
    assert "treatments.json\t1" in record("export", tmp_path / "ade", "--form", "ade").out
    monkeypatch.setenv("DICTATE_HOME", str(tmp_path / "other"))
    assert "finding\t3" in record("import-record", tmp_path / "one").out
    record("export", tmp_path / "two")
    files = sorted(path.name for path in (tmp_path / "one").iterdir())
    assert all(
        (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()
        for name in files
    )
    assert "has a record already" in record("import-record", tmp_path / "one").err


@pytest.mark.parametrize(
    "statement",
    [
        "DELETE FROM finding",
        "INSERT INTO farm (name) VALUES ('x')",
        "DROP TABLE finding",
        "CREATE TABLE x (y)",
        "ATTACH 'copy.db' AS copy",
        "PRAGMA query_only = OFF",
        "PRAGMA journal_mode = DELETE",
        "VACUUM INTO 'copy.db'",
        "SELECT load_extension('x')",
        "BEGIN; DELETE FROM finding",
        "SELECT nothing FROM nowhere",
    ],
)
def test_sql_changes_nothing_and_says_what_is_wrong(record, tmp_path, monkeypatch, statement):
    """Reading is let through, everything else refused by the database's own authorizer."""
    monkeypatch.chdir(tmp_path)
    ran = record("sql", statement)
    assert ran.code == 5
    assert "Only reading is possible" in ran.err
    assert not (tmp_path / "copy.db").exists()
    assert record("sql", "SELECT count(*) AS findings FROM finding", "--csv").out == "findings\n3\n"


def test_sql_reads_statements_from_stdin_and_guards_cells(record, monkeypatch):
    typed = (
        "SELECT lesion\nFROM finding WHERE zone = 4;\nSELECT oops;\nSELECT material FROM action;\n"
    )
    monkeypatch.setattr("sys.stdin", io.StringIO(typed))
    ran = record("sql", "--csv")
    assert ran.out == "lesion\nsole ulcer\nmaterial\n'=rubber\n"
    assert "oops" in ran.err


def test_animals_are_joined_and_parted(record):
    assert record("farm", "list").out == "Alder Farm\n"
    assert record("animal", "merge", "7", "412").code == 0
    assert record("animal", "7", "--json").out == record("animal", "412", "--json").out
    assert record("animal", "part", "7").code == 0
    assert json.loads(record("animal", "7", "--json").out)["number"] == "7"
    assert record("animal", "status", "7", "sold").out == "7: sold\n"
    assert "no animal '9' is merged" in record("animal", "part", "9").err


def test_a_roster_with_a_doubtful_tag_is_taken_in_with_a_warning(dictate, tmp_path):
    path = tmp_path / "roster.csv"
    path.write_text("number,ear tag\n1,UK 123456 600001\n2,UK 123450 600001\n")
    ran = dictate("roster", "import", path)
    assert ran.code == 0
    assert "animal 1 (UK 123456 600001): check digit 6 does not fit" in ran.err
    assert "2:" not in ran.err


def test_no_farm_yet_is_said(dictate, home):
    (home / "settings.toml").write_text("")
    ran = dictate("herd", "open")
    assert (ran.code, "there is no farm yet" in ran.err) == (6, True)


def test_sqlite_would_have_let_a_plain_connection_write(tmp_path):
    """The refusals above come from us: the same statement runs on a plain connection."""
    plain = sqlite3.connect(tmp_path / "plain.db", isolation_level=None)
    plain.execute("CREATE TABLE x (y)")
    plain.execute("PRAGMA query_only = OFF")
    plain.close()


def test_a_farms_year_is_handed_over_as_one_folder(record, tmp_path, monkeypatch):
    """Sheets, herd picture, calendar and tables of one year; nothing of another, and no ids of ours."""
    out = record("export", tmp_path / "year", "--form", "year").out
    assert {"visits\t1", "animals\t2", "findings\t3", "actions\t1"} <= set(out.splitlines())
    assert {path.name for path in (tmp_path / "year").iterdir()} == {
        "README.txt", "herd.pdf", "visit-2026-03-02.pdf", "due.ics",
        "animals.csv", "findings.csv", "actions.csv", "follow_ups.csv", "remarks.csv",
    }  # fmt: skip
    rows = list(
        csv.DictReader(io.StringIO((tmp_path / "year" / "findings.csv").read_text("utf-8")))
    )
    assert ("2026-03-02", "412", "sole ulcer", "LH") == tuple(rows[0][name] for name in ("date", "animal", "lesion", "foot"))  # fmt: skip
    assert not {"id", "entry_id", "animal_id"} & set(rows[0])
    assert "'=rubber" in (tmp_path / "year" / "actions.csv").read_text("utf-8")
    assert (
        "no visit in 2024"
        in record("export", tmp_path / "z", "--form", "year", "--year", "2024").err
    )
    assert "not empty" in record("export", tmp_path / "year", "--form", "year").err


def test_our_own_ade_export_is_a_roster(record, tmp_path):
    """What `export --form ade` wrote of the animals can be taken in again, and changes nothing."""
    record("export", tmp_path / "ade", "--form", "ade")
    ran = record("roster", "import", tmp_path / "ade" / "animals.json")
    assert "0 added" in ran.out, ran.err
