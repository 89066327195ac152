"""Small things that people read: one of something, what else a command can say, where a command stands."""

import datetime as dt
import json
import re
from pathlib import Path

import pytest

from dictate.store.database import open_database
from dictate.store.farms import farm_by_name
from dictate.store.roster import take_in_roster
from dictate.store.roster_lines import RosterLine
from dictate.store.visits import visit_for
from tests.deciding import confirm
from tests.dictate.conftest import _put

DAY = dt.date(2026, 3, 2)
_MANY = re.compile(r"\b1 (?:(?!is\b|was\b|has\b|waits\b)[a-z]+s)\b")
COMMANDS = (
    "queue", "left-aside", "measure-review", "animal show 412", "follow-ups list", "herd open",
    "herd repeats --days 1", "herd changes", "tally", "visit list", "roster list", "farm list", "doctor",
    "backup", "forget-audio --before 2026-03-03 --dry-run", "roster import herd.csv --preview",
    "roster import herd.csv", "past import past.csv", "past undo", "export out", "export year --form year",
    "herd picture --out herd.html", "visit-sheet --out visit.html", "roster import gone.csv --complete",
)  # fmt: skip


@pytest.fixture
def one_of_each(home: Path, dictate, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A record with one animal, one visit, one confirmed entry and one that waits; lists of one row."""
    with (
        open_database(f"sqlite:///{home / 'record.db'}") as database,
        database.writing() as session,
    ):
        farm = farm_by_name(session, "Alder Farm", make=True)
        take_in_roster(session, farm, [RosterLine(number="412")], by="x")
        visit = visit_for(session, farm="Alder Farm", trimmer="Robin Field", date=DAY)
        said = {
            "animal": "412", "findings": [{"lesion": "sole ulcer", "foot": "LH", "claw": "outer"}],
            "actions": [{"kind": "block", "foot": "LH", "claw": "inner"}],
            "follow_ups": [{"kind": "look again", "in_days": 1, "date": "2026-03-03"}],
        }  # fmt: skip
        confirm(session, _put(session, visit.id, said, "cow"), by="Robin Field", sure=True)
    monkeypatch.chdir(tmp_path)
    Path("herd.csv").write_text("number,lactation,colour\n412,2,red\nx,1,\n")
    Path("past.csv").write_text(
        "date;cow;lesion;foot\n2024-03-01;412;SU;LH\n2024-03-01;499;SU;LH\n"
    )
    Path("gone.csv").write_text("number\n413\n")


@pytest.mark.usefixtures("one_of_each")
def test_one_is_said_as_one(dictate) -> None:
    """No command says "1 visits", whatever there is one of."""
    wrong = {}
    for words in COMMANDS:
        ran = dictate(*words.split())
        assert ran.code != 2, f"{words}: {ran.err}"  # it did something
        if found := _MANY.findall(ran.out + ran.err):
            wrong[words] = found
    assert {} == wrong


@pytest.mark.usefixtures("one_of_each")
def test_joining_and_leaving_belong_to_animals(dictate) -> None:
    """`dictate animal` joins two numbers, parts them again and says who left."""
    assert dictate("roster", "import", "gone.csv").code == 0
    for words in (("merge", "413", "412"), ("part", "413"), ("status", "413", "sold")):
        ran = dictate("animal", *words)
        assert ran.code == 0, ran.err
    left = json.loads(dictate("roster", "list", "--json").out)
    assert ["412"] == [row["number"] for row in left if row["status"] == "present"]


def test_hear_says_how_to_see_what_was_understood(dictate, clip) -> None:
    """On stderr, so that the words alone can be piped on."""
    ran = dictate("hear", clip("note.opus", "cow four twelve left hind sole ulcer"))
    assert "--json" in ran.err
    assert "--json" not in ran.out
    assert "--json" not in dictate("hear", clip("other.opus", "cow seven clean"), "--json").err
