"""Columns named for a way to leave, with a mark or a day under them: nobody sold stands as present."""

import datetime as dt
from pathlib import Path

import pytest

from dictate.exchange.roster import RosterRead, find_columns, read_rows
from dictate.exchange.roster.table import read_table_file
from dictate.store.states import AnimalStatus

TODAY = dt.date(2026, 3, 2)
LISTS = {
    "en": "Cow;Sold;Dead\n301;;\n302;yes;\n303;;x\n304;no;no\n305;2026-01-15;\n",
    "nl": "Koe;Verkocht;Dood\n301;;\n302;X;\n303;;ja\n304;nee;nee\n305;15-1-2026;\n",
    "de": "Kuh;verkauft;verendet\n301;;\n302;ja;\n303;;x\n304;nein;nein\n305;15.1.2026;\n",
    "da": "Ko nr.;Solgt;Død\n301;;\n302;ja;\n303;;x\n304;nej;nej\n305;15-01-2026;\n",
    "fr": "N° vache;Vendu le;Mort le\n301;;\n302;oui;\n303;;oui\n304;non;non\n305;15/01/2026;\n",
    "es": "Vaca;Vendida;Muerta\n301;;\n302;sí;\n303;;sí\n304;no;no\n305;15/01/2026;\n",
    "it": "Vacca;Venduta;Morta\n301;;\n302;sì;\n303;;si\n304;no;no\n305;15/01/2026;\n",
    "pl": "Krowa;Sprzedana dnia;Martwa\n301;;\n302;tak;\n303;;tak\n304;nie;nie\n305;15.01.2026;\n",
}


@pytest.mark.parametrize("language", LISTS)
def test_a_mark_under_a_way_to_leave(tmp_path: Path, language: str) -> None:
    """Also where `no` is as often in a row as a heading is above it (common practice in lists)."""
    read = _read(tmp_path, LISTS[language])
    assert not [one for one in read.refused if one.animal]
    assert {line.number: line.status for line in read.lines} == {
        "301": None,
        "302": AnimalStatus.SOLD,
        "303": AnimalStatus.DEAD,
        "304": None,
        "305": AnimalStatus.SOLD,
    }


SIGNS = {
    "en": "Cow;Sold;Culled Y/N\n301;N;N\n302;Y;N\n303;n;y\n304;;\n305;2026-01-15;N\n",
    "en, 0 and 1": "Cow;Is sold?;Culled\n301;0;0\n302;1;0\n303;0;1\n304;0;\n305;1;0\n",
    "nl": "Koe;Verkocht;Afgevoerd (J/N)\n301;N;N\n302;J;N\n303;;J\n304;;\n305;15-1-2026;\n",
    "de": "Kuh;verkauft j/n;geschlachtet\n301;n;FALSCH\n302;j;FALSCH\n303;n;WAHR\n304;n;\n305;j;\n",
    "da": "Ko nr.;Er solgt;Udsat\n301;N;0\n302;J;0\n303;N;1\n304;;0\n305;J;0\n",
    "fr": "N° vache;Vendue;Réformée O/N\n301;N;N\n302;O;N\n303;N;O\n304;;\n305;15/01/2026;N\n",
    "es": "Vaca;¿Vendida?;De baja\n301;N;\n302;S;\n303;N;\n304;N;\n305;S;\n",
    "it": "Vacca;Venduta (S/N);Eliminata\n301;N;FALSO\n302;S;FALSO\n303;N;VERO\n304;;\n305;S;\n",
    "pl": "Krowa;Sprzedana;Wybrakowana\n301;N;0\n302;T;0\n303;N;1\n304;N;0\n305;15.01.2026;0\n",
}
"""The letters with which programs and people write yes and no (common practice)."""


@pytest.mark.parametrize("language", SIGNS)
def test_a_sign_for_yes_and_no(tmp_path: Path, language: str) -> None:
    """Also where a day stands among them, and where only one of them is there beside blanks."""
    read = _read(tmp_path, SIGNS[language])
    assert not read.refused
    found = {line.number: line.status for line in read.lines}
    if language == "es":
        del found["303"]
    else:
        assert found.pop("303") is AnimalStatus.OFF_ROSTER
    assert found == {
        "301": None,
        "302": AnimalStatus.SOLD,
        "304": None,
        "305": AnimalStatus.SOLD,
    }


@pytest.mark.parametrize(
    ("column", "said"),
    [
        (("Sold", "S", "", ""), "'S' is no day"),  # yes, or sold, or slaughtered
        (("Sold", "1", "2", "0"), "'1' is no day"),  # may be codes
        (("Sold", "1", "1", "1"), "'1' is no day"),  # a whole herd sold is no mark
        (("Cull", "Y", "N", "N"), "'Y' may be of an animal that has left"),
        (("Alive", "2026-01-03", "yes", "no"), "2026-01-03 says neither"),
    ],
)
def test_what_is_no_sure_sign_is_asked(tmp_path: Path, column: tuple[str, ...], said: str) -> None:
    """The first animal waits, with the reason."""
    head, *cells = column
    rows = "".join(f"{at};{cell}\n" for at, cell in enumerate(cells, start=501))
    read = _read(tmp_path, f"Cow;{head}\n{rows}")
    assert "501" not in {line.number for line in read.lines}
    assert said in read.refused[0].said


@pytest.mark.parametrize(
    ("heading", "gone", "status"),
    [
        ("Active", "N", AnimalStatus.OFF_ROSTER),
        ("Aanwezig J/N", "n", AnimalStatus.OFF_ROSTER),
        ("im Bestand", "nein", AnimalStatus.OFF_ROSTER),
        ("I live", "nej", AnimalStatus.DEAD),
        ("Présente (O/N)", "N", AnimalStatus.OFF_ROSTER),
        ("Viva", "no", AnimalStatus.DEAD),
        ("In stalla", "0", AnimalStatus.OFF_ROSTER),
        ("w stadzie", "nie", AnimalStatus.OFF_ROSTER),
    ],
)
def test_a_no_under_being_there(
    tmp_path: Path, heading: str, gone: str, status: AnimalStatus
) -> None:
    """`Active` with a no is as good as `Sold` with a yes."""
    yes = {"n": "J", "N": "O" if "O/N" in heading else "Y", "0": "1"}.get(gone, "x")
    read = _read(tmp_path, f"Number;{heading}\n401;{yes}\n402;{gone}\n403;\n")
    assert {line.number: line.status for line in read.lines} == {
        "401": None,
        "402": status,
        "403": None,
    }


def test_days_and_amounts_under_being_there_are_left_out(tmp_path: Path) -> None:
    """`In herd` may be since when; the column is named as not taken."""
    read = _read(tmp_path, "Number;In herd;Active\n401;2024-01-03;312\n402;2024-05-06;15\n")
    assert [line.status for line in read.lines] == [None, None]
    assert read.columns.left_out == ("In herd", "Active")


def test_a_blank_where_others_have_a_cross_is_asked(tmp_path: Path) -> None:
    """Under `Aanwezig` a blank may be the no that nobody wrote."""
    read = _read(tmp_path, "Koe,Aanwezig\n401,x\n402,\n403,x\n")
    assert [line.number for line in read.lines] == ["401", "403"]
    assert "is blank where others have a yes" in read.refused[0].said


def test_a_day_does_not_take_away_how_she_left(tmp_path: Path) -> None:
    """`Sold` says more than the day beside it, on either side."""
    for head, row in (("Sold,Sold date", "Y,2026-01-14"), ("Date left,Dead", "2026-01-14,Y")):
        (line,) = _read(tmp_path, f"Cow,{head}\n401,{row}\n402,N,N\n").lines[:1]
        assert line.status in (AnimalStatus.SOLD, AnimalStatus.DEAD)


def test_a_reason_to_leave_says_that_she_left(tmp_path: Path) -> None:
    """Whatever the reason is, and with the word for a way to leave as that way."""
    read = _read(tmp_path, "Vaca;Motivo de baja\n401;\n402;cojera\n403;muerta\n404;-\n")
    assert [line.status for line in read.lines] == [
        None,
        AnimalStatus.OFF_ROSTER,
        AnimalStatus.DEAD,
        None,
    ]


@pytest.mark.parametrize("heading", ["Beef", "Sale", "Left hind", "Calf dead born", "Not sold"])
def test_a_heading_that_may_mean_something_else(tmp_path: Path, heading: str) -> None:
    """A breed, a price, a foot: nobody is taken off for it."""
    read = _read(tmp_path, f"Number;{heading}\n401;Y\n402;N\n")
    assert [line.status for line in read.lines] == [None, None]
    assert read.columns.left_out == (heading,)


def _read(folder: Path, text: str) -> RosterRead:
    file = folder / "herd.csv"
    file.write_text(text, encoding="utf-8")
    table = read_table_file(file)
    return read_rows(table, find_columns(table), today=TODAY)


def test_a_row_with_words_of_a_heading_is_no_heading(tmp_path: Path) -> None:
    """`Kuh` and `verkauft` stand in a row of an animal, below headings of which few are known."""
    file = tmp_path / "herd.csv"
    file.write_text("Nr;Art;Zweck\n12;Kuh;verkauft\n13;Kuh;\n", encoding="utf-8")
    table = read_table_file(file)
    read = read_rows(table, find_columns(table), today=TODAY)
    assert [line.number for line in read.lines] == ["12", "13"]


@pytest.mark.parametrize(
    ("heading", "remark", "waits"),
    [
        ("Note", "sold 12/1", True),
        ("Bemerkung", "verkauft an Nachbarn", True),
        ("Remarques", "vendue le 3/2", True),
        ("Uwagi", "padła (20.1.)", True),
        ("", "gone", True),
        ("Note", "sold calf 12/1", False),
        ("Note", "dead calf", False),
        ("Note", "left hind bad", False),
        ("Note", "cull", False),
        ("Opmerking", "droog", False),
        ("Calf", "sold", False),
    ],
)
def test_a_remark_that_she_left_is_not_passed_over(
    tmp_path: Path, heading: str, remark: str, waits: bool
) -> None:
    """Its row waits: a remark is no status, and an animal sold is not to stand as present."""
    read = _read(tmp_path, f"Cow;Lactation;{heading}\n401;2;{remark}\n402;3;\n")
    assert [line.number for line in read.lines] == (["402"] if waits else ["401", "402"])
    assert [remark in one.said for one in read.refused] == [True] * waits


def test_a_column_of_status_counts_before_a_remark(tmp_path: Path) -> None:
    """What is known already is not asked."""
    read = _read(tmp_path, "Cow;Status;Note\n401;sold;sold 12/1\n402;milking;died 3/2\n")
    assert [(line.number, line.status) for line in read.lines] == [("401", AnimalStatus.SOLD)]


@pytest.mark.parametrize(
    ("line", "status"),
    [
        ("Sold", AnimalStatus.SOLD),
        ("Verkauft:", AnimalStatus.SOLD),
        ("Døde (2)", AnimalStatus.DEAD),
        ("Vendues 2025", AnimalStatus.SOLD),
        ("Culled", AnimalStatus.OFF_ROSTER),
        ("Sold this year", None),
        ("Cull list", None),
    ],
)
def test_a_line_above_a_group_that_left(
    tmp_path: Path, line: str, status: AnimalStatus | None
) -> None:
    """Those below it have left, up to the next such line; where it says more than the word, they wait."""
    text = f"Cow;Lact\nMilkers;\n401;2\n{line};\n402;3\n403;1\nDry cows;\n404;4\n"
    read = _read(tmp_path, text)
    assert "line 2: is the line above a group" in [one.said for one in read.refused]
    found = {one.number: one.status for one in read.lines}
    gone = dict.fromkeys(("402", "403"), status) if status else {}
    assert ("By this list 2 animals have left: 402, 403." in read.told) == bool(gone)
    assert found == {"401": None, **gone, "404": None}


def test_a_title_above_the_headings_that_says_they_left(tmp_path: Path) -> None:
    """A list of those sold is no list of the herd."""
    read = _read(tmp_path, "Verkochte koeien 2025;\nKoe;Lactatie\n401;2\n")
    assert not read.lines
    read = _read(tmp_path, "Cows of Alder Farm, sold ones left out;\nCow;Lact\n401;2\n")
    assert [line.status for line in read.lines] == [None]


def test_what_is_no_mark_is_asked(tmp_path: Path) -> None:
    """A price under `Sold` is neither a day nor a mark: the row waits."""
    file = tmp_path / "herd.csv"
    file.write_text("Cow;Sold\n12;€ 950\n13;\n", encoding="utf-8")
    table = read_table_file(file)
    read = read_rows(table, find_columns(table), today=TODAY)
    assert [line.number for line in read.lines] == ["13"]
    assert [one.row.line for one in read.refused] == [2]


REMARKS = {
    "coja, vendida en marzo": True,
    "la vaca se murió": True,
    "lahm, dann verendet 3.2.": True,
    "kreupel, is verkocht": True,
    "boiteuse puis vendue": True,
    "zoppa, venduta a maggio": True,
    "had milk fever and died": True,
    "left hind, block removed": False,
    "gone lame on the left": False,
    "for sale": False,
    "cull next": False,
    "": False,
}
"""Remarks as people write them (invented); a word for leaving behind others may be of another animal."""


@pytest.mark.parametrize("remark", REMARKS)
def test_a_word_for_leaving_within_a_remark_is_named(tmp_path: Path, remark: str) -> None:
    read = _read(tmp_path, f"Cow;Remarks\n301;\n302;{remark}\n")
    assert [line.status for line in read.lines] == [None, None]
    named = [told for told in read.told if "302" in told and remark in told]
    assert bool(named) == REMARKS[remark]


@pytest.mark.parametrize(
    ("heading", "remark"),
    [
        ("Abgangsgrund / Bemerkung", "Abgang, Datum fehlt noch"),
        ("Uwagi", "odeszła 4.10.2026, sprzedaż"),
        ("Notes", "sold, to a neighbour"),
    ],
)
def test_a_remark_that_begins_with_leaving_waits(tmp_path: Path, heading: str, remark: str) -> None:
    """Lists of a hand that had not seen the reader: both stood as present at first sight."""
    read = _read(tmp_path, f"Cow;{heading}\n301;\n302;{remark}\n")
    assert [line.number for line in read.lines] == ["301"]
    (refused,) = read.refused
    assert remark in refused.said


def test_danish_days_of_leaving_cut_short(tmp_path: Path) -> None:
    read = _read(tmp_path, "Konr.;Afg.dato\n301;\n302;22-01-2026\n")
    assert [line.status for line in read.lines] == [None, AnimalStatus.OFF_ROSTER]
