"""Treatments of the past: each row in the history of its animal with its source, none twice, none lost."""

import datetime as dt
from typing import Any

import pytest

from dictate.errors import ConflictError, RosterError
from dictate.exchange.past import PAST, PastRead, read_past
from dictate.exchange.past.kind import headings_in
from dictate.exchange.roster import find_columns, read_table
from dictate.review import acts
from dictate.settings import Settings
from dictate.store.animal_history import animal_history
from dictate.store.database import Database
from dictate.store.farms import farm_by_name
from dictate.store.integrity import changed_outside
from dictate.store.past import PastChange, newest_past, take_in_past
from dictate.store.record_queries import action_rows, finding_rows
from dictate.store.roster import take_in_roster
from dictate.store.roster_lines import RosterLine
from dictate.store.visits import visit_for
from tests.deciding import confirm
from tests.dictate.conftest import _put

TODAY = dt.date(2026, 3, 2)
LIST = """\
Visits of the years before;;;;;;
Date;Cow no.;Diagnosis;Leg;Claw;Treatment;Paid
13/03/2024;412;Mortellaro (M2);LH;;topical;yes
13/03/2024;413;SU + WL;hinten rechts;außen;block;
14/03/2024;412;wobbly;RH;;;
15/03/2024;499;sole ulcer;RF;medial;;
16/03/2024;413;;LH;;;
2030-01-01;413;DD;LH;;;
17/03/2024;413;sole ulcer;north;;;
Total;7;;;;;
"""


def _read(text: str, **more: Any) -> PastRead:
    table = read_table(text.encode())
    return read_past(table, find_columns(table, kind=PAST), today=TODAY, **more)


def _take_in(database: Database, text: str, source: str = "old.csv", **more: Any) -> PastChange:
    with database.writing() as session:
        farm = farm_by_name(session, "Alder Farm", make=True)
        return take_in_past(session, farm, _read(text).lines, by="x", source=source, **more)


@pytest.fixture(autouse=True)
def _herd(database: Database) -> None:
    with database.writing() as session:
        farm = farm_by_name(session, "Alder Farm", make=True)
        lines = [RosterLine(number="412", lactation=5), RosterLine(number="413")]
        take_in_roster(session, farm, lines, by="x")


def test_a_zone_is_one_of_the_map() -> None:
    """0 to 12 of the ICAR map; zeros in front are the list's own, and hide no longer number."""
    read = _read(
        "Date;Cow no.;Diagnosis;Leg;Zone\n"
        + "".join(
            f"{day}/03/2024;412;sole ulcer;LH;{zone}\n"
            for day, zone in ((10, "04"), (11, "0"), (12, "zone 12"), (13, "13"), (14, "0001234"))
        )
    )

    assert [4, 0, 12] == [line.findings[0].zone for line in read.lines]
    assert [5, 6] == [one.row.line for one in read.refused]


def test_every_row_is_read_or_refused_with_its_reason() -> None:
    """Lesions by the lexicon and by code, feet and claws in other languages; nothing is guessed."""
    read = _read(LIST)

    assert [("412", "LH", None), ("413", "RH", "outer"), ("499", "RF", "inner")] == [
        (line.number, line.findings[0].foot, line.findings[0].claw) for line in read.lines
    ]
    assert ["digital dermatitis", "sole ulcer", "sole ulcer"] == [
        line.findings[0].lesion for line in read.lines
    ]
    assert "M2" == read.lines[0].findings[0].stage
    assert ["sole ulcer", "white line disease"] == [one.lesion for one in read.lines[1].findings]
    assert ("Paid",) == read.columns.left_out
    why = {one.row.line: one.why[0] for one in read.refused}
    assert {1, 5, 7, 8, 9, 10} == set(why)
    assert "'wobbly' is not known" in why[5]
    assert "neither a lesion nor what was done" in why[7]
    assert "has not come yet" in why[8]
    assert "'north' is no foot" in why[9]


def test_a_word_that_a_person_explained_is_read() -> None:
    """Only what was said; a word may also mean nothing."""
    read = _read(LIST, words={"wobbly": "thin sole", "north": "LF"})
    assert {"thin sole"} < {one.lesion for line in read.lines for one in line.findings}
    assert "LF" in {one.foot for line in read.lines for one in line.findings}


def test_numbers_that_all_end_in_a_point_are_whole() -> None:
    """As in a list of animals; one among others is a fraction, and refused."""
    rows = "Date;Cow;Diagnosis\n2024-03-13;412.0;DD\n2024-03-13;NaN;DD\n2024-03-14;{};DD\n"

    assert ["412", "413"] == [line.number for line in _read(rows.format("413.0")).lines]
    assert ["413"] == [line.number for line in _read(rows.format("413")).lines]


def _sites(text: str) -> list[list[tuple[Any, ...]]]:
    """Lesion, foot, claw and zone of each row."""
    return [
        [(one.lesion, one.foot, one.claw, one.zone) for one in line.findings]
        for line in _read(text).lines
    ]


def test_a_column_for_each_foot() -> None:
    """Lesions by code or word, with claw, zone and deed; the words of the feet in any language."""
    read = _read(
        "Date;Cow;LF;Right front;LH lesion;hinten rechts\n"
        "13/03/2024;412;ok;;SU outer z4;DD M2 + block\n"
        "14/03/2024;413;;white line (inner);;wobbly\n"
        "15/03/2024;413;;;x;\n"
    )
    (line,) = read.lines
    assert [
        ("no lesion", None, "LF", None, None), ("sole ulcer", None, "LH", "outer", 4),
        ("digital dermatitis", "M2", "RH", None, None),
    ] == [(one.lesion, one.stage, one.foot, one.claw, one.zone) for one in line.findings]  # fmt: skip
    assert [("block", "RH")] == [(one.kind, one.foot) for one in line.actions]
    why = {one.row.line: one.why[0] for one in read.refused}
    assert "'wobbly' is not known" in why[3]  # with what else stands in the row: nothing half taken
    assert "a tick at LH, but names no lesion" in why[4]


def test_a_column_for_each_claw_and_ticks() -> None:
    """A column may be of one claw; a tick is of the row's lesion, which is then said once."""
    ulcer, foul = "sole ulcer", "digital dermatitis"
    text = "Date;Cow;LH outer;LH inner;RH lateral\n13/03/2024;412;SU;;DD\n"
    assert [[(ulcer, "LH", "outer", None), (foul, "RH", "outer", None)]] == _sites(text)
    text = "Date;Cow;Lesion;LF;LH;RH\n13/03/2024;412;DD;;x;X\n14/03/2024;412;SU;;SU;no\n"
    assert [
        [(foul, "LH", None, None), (foul, "RH", None, None)], [(ulcer, "LH", None, None)]
    ] == _sites(text)  # fmt: skip


def test_a_column_for_each_lesion() -> None:
    """Ticks, feet, claws, stages and grades under a code or a name; a block's own claw is kept."""
    read = _read(
        "Date;Cow;DD;sole ulcer (x);Block;Foot\n"
        "13/03/2024;412;M2 LH, RH;;;\n"
        "14/03/2024;412;;LH outer severe;LH inner;\n"
        "15/03/2024;413;x;no;x;RF\n"
        "16/03/2024;413;LH;;;RH\n"
        "17/03/2024;413;big;;;\n"
    )
    seen = [
        [(one.lesion, one.stage, one.foot, one.claw, one.severity) for one in line.findings]
        for line in read.lines
    ]
    foul, ulcer = "digital dermatitis", "sole ulcer"
    assert [
        [(foul, "M2", "LH", None, None), (foul, None, "RH", None, None)],
        [(ulcer, None, "LH", "outer", "severe")],
        [(foul, None, "RF", None, None)],
    ] == seen
    done = [[(one.kind, one.foot, one.claw) for one in line.actions] for line in read.lines]
    assert [[], [("block", "LH", "inner")], [("block", "RF", None)]] == done
    why = {one.row.line: one.why[0] for one in read.refused}
    assert _read("Date;Cow;DD outer\n13/03/2024;412;LH inner\n").refused
    assert "names two feet" in why[5]
    assert "'big' under 'DD' is no tick" in why[6]


def test_numbers_under_a_lesion_are_asked_about() -> None:
    """Grades or counts: beside a 3 a 1 is no tick either; a sum below the animals says nothing."""
    text = "Date;Cow;DD;SU\n13/03/2024;412;1;1\n14/03/2024;413;3;0\nTotal;;4;1\n"
    read = _read(text)
    assert [2, 3, 4] == [one.row.line for one in read.refused]
    read = _read(text, words={"1": "x", "3": "severe"})
    assert [(None, 2), ("severe", 1)] == [
        (line.findings[0].severity, len(line.findings)) for line in read.lines
    ]


def test_a_heading_that_a_person_explained() -> None:
    """Named as a lesion of its own, it is one; unexplained it is asked for; `-` leaves it."""
    table = read_table(b"Date;Cow;DD;Plork\n13/03/2024;412;;LH\n14/03/2024;413;x;\n")
    columns = find_columns(table, given={"each": "Plork"}, kind=PAST)
    with pytest.raises(RosterError, match="'Plork' is no lesion or action"):
        read_past(table, columns, today=TODAY)
    words = {"plork": "thin sole"}
    read = read_past(table, columns, words=words, today=TODAY)
    assert ["thin sole", "digital dermatitis"] == [one.findings[0].lesion for one in read.lines]
    columns = find_columns(table, kept=headings_in(words), kind=PAST)
    assert 2 == len(read_past(table, columns, words=words, today=TODAY).lines)
    assert 1 == len(_read("Date;Cow;DD;SU\n13/03/2024;412;9;x\n", words={"dd": "-"}).lines)


def test_feet_over_lesions_in_two_rows_of_headings() -> None:
    text = "Cow;Date;Left hind;;Right hind;\n;;DD;SU;DD;SU\n412;13/03/2024;x;;;x\n"
    assert [[("digital dermatitis", "LH", None, None), ("sole ulcer", "RH", None, None)]] == _sites(
        text
    )


def test_ticks_at_feet_and_at_lesions() -> None:
    """One foot is of all; of two lesions at two feet, and of a deed at two, nobody can tell."""
    read = _read(
        "Date;Cow;LH;RH;DD;SU;Block\n"
        "13/03/2024;412;x;;x;x;x\n14/03/2024;412;x;x;x;x;\n15/03/2024;413;x;x;x;;x\n"
    )
    assert [3] == [one.row.line for one in read.refused]
    assert [{"LH"}, {"LH", "RH"}] == [{one.foot for one in line.findings} for line in read.lines]
    assert [["LH"], [None]] == [[one.foot for one in line.actions] for line in read.lines]


def test_a_block_keeps_its_own_claw() -> None:
    """The claw of the row, or of the ticked column, is the sore one; a block often is on the other."""
    read = _read(
        "Date;Cow;Lesion;Foot;Claw;Block\n"
        "13/03/2024;412;SU;LH;inner;outer\n14/03/2024;412;SU;LH;inner;LH\n"
    )
    assert [[("LH", "outer")], [("LH", None)]] == [
        [(one.foot, one.claw) for one in line.actions] for line in read.lines
    ]
    (line,) = _read("Date;Cow;LH outer;LH inner;SU;Block\n13/03/2024;412;x;;x;inner\n").lines
    assert ("outer", "inner") == (line.findings[0].claw, line.actions[0].claw)


def test_a_ticked_deed_is_of_the_rows_one_foot() -> None:
    """A wrap is, a trim is of the animal; where a lesion has no foot, nobody can tell."""
    read = _read(
        "Date;Cow;DD;SU;Wrap;Trim\n"
        "13/03/2024;412;LH;;x;x\n14/03/2024;412;LH;RH;x;\n15/03/2024;412;LH;x;x;\n"
    )
    assert [[("wrap", "LH"), ("functional trim", None)], [("wrap", None)], [("wrap", None)]] == [
        [(one.kind, one.foot) for one in line.actions] for line in read.lines
    ]


def test_claws_below_feet_in_two_rows_of_headings() -> None:
    """Each claw is a column of its own, and none is left out."""
    text = "Cow,Date,LH,,RH,\n,,out,in,out,in\n412,13 Mar 2024,SU,,DD,DD\n"
    assert [
        [
            ("sole ulcer", "LH", "outer", None),
            ("digital dermatitis", "RH", "outer", None),
            ("digital dermatitis", "RH", "inner", None),
        ]
    ] == _sites(text)


def test_a_list_of_one_day_without_a_column_for_it() -> None:
    text = "Herd list, 13 March\nCow;LH;RH\n412;SU;\n"
    with pytest.raises(RosterError, match="no column is known to be the day"):
        _read(text)
    assert dt.date(2024, 3, 13) == _read(text, on=dt.date(2024, 3, 13)).lines[0].date
    with pytest.raises(RosterError, match="has not come yet"):
        _read(text, on=dt.date(2030, 3, 13))
    with pytest.raises(RosterError, match="'Date' says it for each row"):
        _read("Date;Cow;Lesion\n13/03/2024;412;SU\n", on=dt.date(2024, 3, 13))


def test_one_short_heading_is_no_foot() -> None:
    """`LA` is the left hind in one language and a lactation in many lists: alone it is not taken."""
    read = _read("Date;Cow;Lesion;LA\n13/03/2024;412;SU;1\n")
    assert (None, ("LA",)) == (read.lines[0].findings[0].foot, read.columns.left_out)
    table = read_table(b"Date;Cow;Lesion;LA\n13/03/2024;412;SU;1\n")
    columns = find_columns(table, kind=PAST, given={"LH": "LA"})
    (line,) = read_past(table, columns, today=TODAY).lines
    assert "LH" == line.findings[0].foot


def test_several_lesions_in_a_row() -> None:
    """Each with its own foot where there are as many columns of feet, else all with the one."""
    ulcer, foul = "sole ulcer", "digital dermatitis"
    text = "Date;Cow;Lesion 1;Foot 1;Lesion 2;Foot 2;Treatment\n13/03/2024;412;SU;LH;DD;RH;block\n"
    assert [[(ulcer, "LH", None, None), (foul, "RH", None, None)]] == _sites(text)
    (line,) = _read(text).lines
    assert [("block", None)] == [
        (one.kind, one.foot) for one in line.actions
    ]  # of which, it does not say
    text = "Date;Cow;Lesion;Lesion;Foot\n13/03/2024;412;SU;DD;LH\n"
    assert [[(ulcer, "LH", None, None), (foul, "LH", None, None)]] == _sites(text)
    read = _read("Date;Cow;Lesion 1;Foot 1;Lesion 2;Foot 2\n13/03/2024;412;SU;LH;;RF\n")
    assert "says 'RF', but no lesion" in read.refused[0].why[0]


@pytest.mark.parametrize("zone", ["13", "0123", "0" * 5000, "zone 99", "1.5"])
def test_a_zone_that_no_claw_has_is_refused(zone: str) -> None:
    """In a column of its own and beside the lesion."""
    assert "zone" in _read(f"Date;Cow;Lesion;Zone\n13/03/2024;412;SU;{zone}\n").refused[0].why[0]
    assert _read(f"Date;Cow;Lesion\n13/03/2024;412;SU zone {zone}\n").refused


def test_columns_that_cannot_be_put_together_are_asked_about() -> None:
    """Three of lesions and two of feet: no foot is given to the wrong one."""
    with pytest.raises(RosterError, match="which columns go together: 3 of lesion, 2 of foot"):
        _read("Date;Cow;Lesion 1;Lesion 2;Lesion 3;Foot 1;Foot 2\n13/03/2024;412;SU;;DD;LH;RH\n")


def test_the_foot_within_the_words_of_the_lesion() -> None:
    """Before or after it; a foot in a column of its own that says another one is refused."""
    text = "Datum;Kuh;Befund\n13.03.2024;412;Mortellaro hinten links\n13.03.2024;413;SU hl außen + DD hr\n"
    assert [
        [("digital dermatitis", "LH", None, None)],
        [("sole ulcer", "LH", "outer", None), ("digital dermatitis", "RH", None, None)],
    ] == _sites(text)
    read = _read("Date;Cow;Lesion;Foot\n13/03/2024;412;SU left hind;RH\n")
    assert "names two feet" in read.refused[0].why[0]


@pytest.mark.parametrize(
    "text",
    ["Day;Cow\n2024-03-14;412\n", "Cow;Lesion\n412;sole ulcer\n", "Date;Lesion\n2024-03-14;DD\n"],
)
def test_a_table_without_day_animal_or_lesion_is_asked_about(text: str) -> None:
    with pytest.raises(RosterError, match="no column is known"):
        _read(text)


def test_rows_become_history_with_their_source(database: Database) -> None:
    """They count like any other; the lactation of that day is not today's."""
    change = _take_in(database, LIST)

    assert (2, 0) == (change.added, change.known)
    assert ["no animal 499 is known at Alder Farm"] == [
        why.partition(":")[0] for why in change.undecided.values()
    ]
    with database.reading() as session:
        assert ["from old.csv"] == [one.source for one in animal_history(session, "412").visits]
        rows = finding_rows(session)
        assert 3 == len(rows)
        assert {None} == {row.lactation for row in rows}
        assert {"topical", "block"} == {row.kind for row in action_rows(session)}
        assert [] == changed_outside(session)


def test_a_row_is_never_doubled(database: Database) -> None:
    """Not by the same list, another file with the same rows, nor where a note says it already."""
    with database.writing() as session:
        visit = visit_for(session, farm="Alder Farm", trimmer="x", date=dt.date(2024, 3, 13))
        said = {"animal": "412", "findings": [{"lesion": "digital dermatitis", "stage": "M2", "foot": "LH"}],
                "actions": [{"kind": "topical", "foot": "LH"}]}  # fmt: skip
        confirm(session, _put(session, visit.id, said, "cow"), by="x")

    first = _take_in(database, LIST)
    again = _take_in(database, LIST, source="other name.csv")

    assert (1, 1) == (first.added, first.known)
    assert (0, 2) == (again.added, again.known)


def test_a_list_is_taken_back_and_taken_in_again(database: Database, settings: Settings) -> None:
    """As one act; afterwards each row stands once, as before."""
    _take_in(database, LIST)
    with database.reading() as session:
        listed = newest_past(session, farm_by_name(session, "Alder Farm"))
    assert listed is not None
    acts.undo_act(database, settings, listed.act, by="x")
    with database.reading() as session:
        assert [] == finding_rows(session)
        assert newest_past(session, farm_by_name(session, "Alder Farm")) is None
        assert [] == changed_outside(session)
    with pytest.raises(ConflictError):
        acts.undo_act(database, settings, listed.act, by="x")

    assert 2 == _take_in(database, LIST).added
    assert (0, 2) == ((change := _take_in(database, LIST)).added, change.known)
    with database.reading() as session:
        assert 3 == len(finding_rows(session))


def test_animals_that_left_and_numbers_that_two_bore(database: Database) -> None:
    """Who left keeps her past; a number that two animals bore, or zeros, decide nothing."""
    with database.writing() as session:
        farm = farm_by_name(session, "Alder Farm")
        eid = "999000000000001"
        take_in_roster(
            session, farm, [RosterLine(number="7", eid=eid)], by="x", complete=True, sure=True
        )
        take_in_roster(session, farm, [RosterLine(number="7", eid="999000000000002"), RosterLine(number="412")],
                       by="x", complete=True, sure=True, returned=True)  # fmt: skip
    rows = (
        "Date;Number;EID;Lesion\n2024-03-14;7;;DD\n2024-03-15;7;999000000000001;DD\n"
        "2024-03-16;413;;DD\n2024-03-17;0412;;DD\n2024-03-18;88;;DD\n"
    )
    change = _take_in(database, rows)
    assert 2 == change.added
    assert ["2 animals", "0412 is 412", "no animal"] == [
        next(part for part in ("2 animals", "0412 is 412", "no animal") if part in why)
        for why in change.undecided.values()
    ]
    assert (1, 2) == ((later := _take_in(database, rows, new=True)).added, later.known)


def test_an_electronic_number_in_parts_is_read_as_in_a_roster() -> None:
    """Country and number in two columns are one number, and it is said where it stood."""
    read = _read(
        "Date;Country code;Electronic number;Diagnosis;Leg\n13/03/2024;999;000000070184;DD;LH\n"
    )

    assert ["999000000070184"] == [line.eid for line in read.lines]
    assert "from 'Country code' and 'Electronic number'" in read.told[0]
