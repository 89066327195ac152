"""Single cells and small files: what becomes of each oddity."""

import datetime as dt

import pytest

from dictate.errors import RosterError
from dictate.exchange.roster import find_columns, read_rows, read_table
from dictate.exchange.roster.words import same_key

TODAY = dt.date(2026, 3, 2)


def _read(text: str | bytes):
    table = read_table(text.encode() if isinstance(text, str) else text)
    return read_rows(table, find_columns(table), today=TODAY)


@pytest.mark.parametrize(
    ("cell", "number"),
    [
        ("Cow 412", "412"), ("Nr. 413", "413"), ("Ko nr. 414", "414"), ("red cow 415", None), ("#414", "414"), ("A 12", "A 12"), ("٤١٢", "412"),
        ("４１２", "412"), ("'0412'", "0412"), ("\u202e412", "412"), ("12/3", "12/3"),
        ("0", None), ("4 12", None), ("1.234", None), ("412\x0c", None), ("Total: 5", None), ("-3", None),
    ],
)  # fmt: skip
def test_numbers(cell: str, number: str | None) -> None:
    """A word before a number only says that it is one; everything doubtful is refused with a reason."""
    read = _read(f"number;name\n{cell};Bella\n")

    assert ([number] if number else []) == [line.number for line in read.lines]
    assert len(read.refused) == (number is None)


@pytest.mark.parametrize(
    ("cell", "date"),
    [
        ("2. 3. 2025", dt.date(2025, 3, 2)), ("25.03.2025.", dt.date(2025, 3, 25)),
        ("Mon, 3 Mar 2025", dt.date(2025, 3, 3)), ("2025-03-02T00:00:00Z", dt.date(2025, 3, 2)),
        ("1er février 2025", dt.date(2025, 2, 1)), ("14 marca 2024 r.", dt.date(2024, 3, 14)), ("30/1-25", dt.date(2025, 1, 30)),
        ("30-1/25", None), ("30/1 2025", dt.date(2025, 1, 30)), ("03/2025", None), ("29.02.2025", None), ("2025", None),
    ],
)  # fmt: skip
def test_dates(cell: str, date: dt.date | None) -> None:
    """Each form of a date is that day or refused."""
    read = _read(f"number;calving date\n412;{cell}\n")

    assert ([date] if date else []) == [line.calved_on for line in read.lines]


def test_letters_that_were_spoilt_before_are_refused() -> None:
    """UTF-8 read as Windows letters once: the name that was meant is said."""
    (refused,) = _read("number;name\n412;KÃ¤the\n").refused

    assert "'Käthe'?" in refused.said


@pytest.mark.parametrize("letters", ["utf-16-le", "utf-16-be", "utf-16", "utf-8-sig"])
def test_bare_numbers_in_any_unicode(letters: str) -> None:
    """No animal is made of the marks or the other half of the letters."""
    assert ["412", "413"] == [line.number for line in _read("412\r\n413\r\n".encode(letters)).lines]


@pytest.mark.parametrize("others", ["Kuh-Nr.", "KUHNUMMER", "kuh nummer", "Kuh_Nr", "Kuh №"])
def test_headings_are_one_in_any_spelling(others: str) -> None:
    """Case, signs and the words for number do not matter."""
    assert same_key("Kuh Nr") == same_key(others)


@pytest.mark.parametrize(
    ("data", "word"),
    [
        (b"%PDF-1.7 x", "PDF"), (b"\xd0\xcf\x11\xe0 x", ".xls"), (b"<html><table>", "web page"),
        (b"PK\x03\x04 x", "workbook"), (bytes(range(256)) * 20, "no list"), (b"\x1f\x8b x", "compressed"),
    ],
)  # fmt: skip
def test_what_is_no_list_says_what_it_is(data: bytes, word: str) -> None:
    """Told by its content, whatever the name says."""
    with pytest.raises(RosterError, match=word):
        _read(data)


def test_a_part_of_an_electronic_number_that_cannot_be_is_refused() -> None:
    """A control character in one of its columns refuses that row alone."""
    read = _read(
        "Number,EID,,\n181,999,000000,070181\n182,999,000000,070182\n183,999\x15,000000,070183\n"
    )

    assert ["181", "182"] == [line.number for line in read.lines]
    assert [4] == [one.row.line for one in read.refused]
    assert "control character" in read.refused[0].said


@pytest.mark.parametrize(
    ("cell", "date"),
    [
        ("Sat 3 Jan 2026", dt.date(2026, 1, 3)), ("sam. 03/01/2026", dt.date(2026, 1, 3)),
        ("Samstag, 3. Januar 2026", dt.date(2026, 1, 3)), ("Mar 3 2025", dt.date(2025, 3, 3)),
        ("mar 4 mars 2025", dt.date(2025, 3, 4)), ("mar 4/3/2025", dt.date(2025, 3, 4)),
        ("ca. 03.01.2026", None), ("before 3 Jan 2026", None), ("Sat", None),
    ],
)  # fmt: skip
def test_days_of_the_week(cell: str, date: dt.date | None) -> None:
    """The day of the week before a date says nothing more; other words there do."""
    read = _read(f"number;calved\n412;{cell}\n413;13.01.2025\n")

    assert date == next((line.calved_on for line in read.lines if line.number == "412"), None)
    assert len(read.lines) == (1 if date is None else 2)


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("Number;Name\n411;Rosa\n412;Total\n413;x\n414;x\n415;x\n416;x\n", "411 412 413 414 415 416"),
        ("Number;Name\n411;Rosa\n412;Bella\n2;Total\n413;x\n414;x\n415;x\n416;x\n", "411 412 413 414 415 416"),
        ("Number;Name\n411;Rosa\n412;Bella\n7;Mean\n", "411 412"),
    ],
)  # fmt: skip
def test_sums_beside_the_number(text: str, numbers: str) -> None:
    """A sum stands at the end of a list, or counts what is above; a cow may be called Total."""
    assert numbers.split() == [line.number for line in _read(text).lines]


def test_blocks_beside_each_other_are_read_in_lines() -> None:
    """Only where every heading comes again in its order; else somebody is asked."""
    read = _read("Cow;Name;Cow;Name\n1;Rosa;2;Bella\n3;Emma;;\n;;4;Lisa\n")
    assert [("1", "Rosa"), ("2", "Bella"), ("3", "Emma"), ("4", "Lisa")] == [
        (line.number, line.name) for line in read.lines
    ]
    with pytest.raises(RosterError, match="several columns"):
        _read("Cow;Name;Cow;Lactation\n1;Rosa;2;2\n")


@pytest.mark.parametrize(
    ("row", "status"),
    [
        ("412;01/02/2026;", "off the roster"),
        ("412;2026-02-01;melkend", "off the roster"),
        ("412;01/02/2026;vendue", "sold"),
        ("412;morte;", "dead"),
        ("412;;", None),
        ("412;non;en lait", "present"),
        ("412;31/12/9999;", None),
        ("412;05/03/2026;milk", "present"),
    ],
)
def test_a_day_on_which_she_left_means_that_she_is_gone(row: str, status: str | None) -> None:
    """Whatever she was doing before; a day to come, and the last day there is, mean that she is there."""
    read = _read(f"n° vache;date de sortie;statut\n{row}\n413;13/02/2026;\n")

    assert not read.refused
    assert [status, "off the roster"] == [line.status for line in read.lines]


def test_a_word_that_is_no_day_of_leaving_is_asked_about() -> None:
    (refused,) = _read("number;exit date\n412;gate 3\n413;13/02/2026\n").refused

    assert "left the herd on 'gate 3' is no day" in refused.said


def test_numbers_with_a_point_are_whole_beside_rows_without_one() -> None:
    """As a program for figures writes them, with NaN where nothing stood."""
    read = _read("number,lactation\n412.0,3.0\nNaN,NaN\n415.0,1.0\n")

    assert ["412", "415"] == [line.number for line in read.lines]
    assert [3] == [one.row.line for one in read.refused]


def test_cells_over_several_rows_of_a_web_page_stand_in_each() -> None:
    """So that what is beside them stays under its heading."""
    page = (
        "<table><tr><th rowspan=2>Lot<th rowspan=2>N&deg; vache<th colspan=2>Lactation</tr>"
        "<tr><th>Rang<th>V&ecirc;lage</tr>"
        "<tr><td rowspan=2>A<td>41<td>3<td>03/04/2025</tr><tr><td>42<td>2<td>28/02/2025</tr>"
        "<tr><td>B<td>50<td rowspan=2>1<td>13/01/2025</tr><tr><td>B<td>51<td>14/01/2025</tr></table>"
    )
    read = _read(page)

    assert [("41", 3), ("42", 2), ("50", 1), ("51", 1)] == [
        (line.number, line.lactation) for line in read.lines
    ]
    assert [3, 28, 13, 14] == [line.calved_on.day for line in read.lines if line.calved_on]


def test_a_web_page_of_cells_without_end_is_refused() -> None:
    """A row that grows with each row above it would fill the memory."""
    page = "<table>" + ("<tr>" + "<td rowspan=9999>1" * 150) * 300 + "</table>"

    with pytest.raises(RosterError, match="more than 200 columns"):
        _read(page)


@pytest.mark.parametrize(
    "heads",
    [
        "AnimalNo;ElectronicID;NationalID;LastCalved;Lactations",
        "NUM_TRABAJO;CHIP;NUM_NACIONAL;FEC_PARTO;NUM_LACTANCIA",
        "N. di stalla;Transponder;Numero di marca;Data del parto;Numero di lattazione",
    ],
)
def test_headings_glued_shortened_and_filled_are_the_same(heads: str) -> None:
    """Words written as one, cut short, or with of, de and di between them."""
    (line,) = _read(f"{heads}\n412;(826)000000000001;UK 1;14/3-25;III\n").lines

    assert ("412", "826000000000001", dt.date(2025, 3, 14), 3) == (
        line.number, line.eid, line.calved_on, line.lactation,
    )  # fmt: skip
