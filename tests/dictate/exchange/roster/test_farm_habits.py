"""What lists of farms have beside their cells and headings: comments, pages, shortened words, old letters, odd days.

The shapes are common practice: how spreadsheets, printouts and hands write; ISO 8859-2 is the standard's own table.
"""

import datetime as dt
import io

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.comments import Comment

from dictate.errors import RosterError
from dictate.exchange.roster import RosterRead, find_columns, read_rows, read_table
from dictate.exchange.roster.dates import DateOrder
from dictate.exchange.roster.words import shortened
from dictate.store.states import AnimalStatus

TODAY = dt.date(2026, 11, 28)


def _read(data: str | bytes, dates: DateOrder | None = None, **given: str) -> RosterRead:
    table = read_table(data.encode() if isinstance(data, str) else data)
    return read_rows(table, find_columns(table, given=given), dates=dates, today=TODAY)


def _book(rows: list[list[object]], name: str = "Herd", **comments: str) -> bytes:
    book = Workbook()
    sheet = book.active
    sheet.title = name
    for row in rows:
        sheet.append(row)
    for place, text in comments.items():
        sheet[place].comment = Comment(text, "Robin")
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _asked(text: str | bytes) -> str:
    with pytest.raises(RosterError) as caught:
        _read(text)
    return caught.value.what


def test_letters_of_iso_8859_2() -> None:
    """In Windows' set the same bytes are ¦ and ¶; western lists stay western."""
    polish = "Numer;Imię\n1;Śnieżka\n2;Wiśnia\n3;Źrebica\n"
    read = _read(polish.encode("iso8859_2"))
    assert ["Śnieżka", "Wiśnia", "Źrebica"] == [line.name for line in read.lines]
    assert ["Śnieżka", "Wiśnia", "Źrebica"] == [
        line.name for line in _read(polish.encode("cp1250")).lines
    ]
    western = "Numéro;Nom\n1;Éclair\n2;Bärbel\n3;Señora\n4;Åse\n"
    assert ["Éclair", "Bärbel", "Señora", "Åse"] == [
        line.name for line in _read(western.encode("cp1252")).lines
    ]


def test_lists_in_two_sets_of_letters_below_each_other() -> None:
    """Each line is read in its own; spoilt letters stay spoilt, and their lines refused."""
    head, upper, lower = "Numéro;Nom;Vêlage\n", "1;Éclair;\n2;Rêveuse;\n", "3;Sirène;\n4;Rosée;\n"
    read = _read((head + upper).encode() + lower.encode("cp1252"))
    assert ["Éclair", "Rêveuse", "Sirène", "Rosée"] == [line.name for line in read.lines]
    assert "UTF-8 and Windows-1252, line by line" in read.how
    spoilt = (head + 2 * upper).encode() + b"3;Sir\xc3ne;\n4;Ros\xa9e;\n"
    assert ["Éclair", "Rêveuse"] == [line.name for line in _read(spoilt).lines]


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("Sidste kælv.", "calved_on"), ("Ost. wycielenie", "calved_on"), ("Afk.", "calved_on"),
        ("Latt.", "lactation"), ("ID", "number"),
        ("Dat.", None), ("Geb.", None), ("Nr", None), ("K.", None),
    ],
)  # fmt: skip
def test_a_heading_that_was_cut_short(heading: str, field: str | None) -> None:
    """It is read where it can mean one field only, and the list has no other column for it."""
    assert field == shortened(heading)


def test_an_id_is_the_number_only_where_it_is_short() -> None:
    (line,) = _read("ID,EID,Name\n412,999000000000412,Rose\n").lines
    assert ("412", "999000000000412") == (line.number, line.eid)
    assert "no column is known" in _asked("ID,Name\n999000000000412,Rose\n")
    assert ["7"] == [one.number for one in _read("ID,Cow\n412,7\n").lines]


def test_days_of_six_figures() -> None:
    """The order is known where all days of the file can only be so; else it is asked."""
    rows = "Dyrenr;Født;Sidste kælvning\n1;{};250426\n2;010120;010326\n"
    read = _read(rows.format("310820"))
    assert [dt.date(2026, 4, 25), dt.date(2026, 3, 1)] == [line.calved_on for line in read.lines]
    assert "whether day or month stands first: '250426'" in _asked(rows.format("110820"))
    read = _read(rows.format("110820"), DateOrder.DAY_FIRST)
    assert [dt.date(2026, 4, 25), dt.date(2026, 3, 1)] == [line.calved_on for line in read.lines]
    # A day that is none in any order leaves its line out.
    (why,) = _read("Dyrenr;Sidste kælvning\n1;993926\n").refused[0].why
    assert "'993926' is no date" in why


def test_a_year_with_an_apostrophe_or_a_sign() -> None:
    read = _read("Koe;Gekalfd\n1;29-12-'25\n2;6-1-’26\n")
    assert [dt.date(2025, 12, 29), dt.date(2026, 1, 6)] == [line.calved_on for line in read.lines]
    assert dt.date(2025, 10, 22) == _read("Krowa;Wycielenie\n1;22.10.2025 r.\n").lines[0].calved_on


def test_numbers_as_spreadsheets_write_them() -> None:
    """Beside plain numbers as long; one alone, or a fraction among them, is refused."""
    read = _read('Cow\tName\n"1,187"\tA\n1188.0\tB\n"1,204"\tC\n1205.0\tD\n1206\tE\n')
    assert ["1187", "1188", "1204", "1205", "1206"] == [line.number for line in read.lines]
    for column in (
        ("1.412", "2.413", "7"),
        ("1,187", "1188"),
        ("412.0", "413"),
        ("41.5", "412.0", "413.0", "7"),
    ):
        read = _read("Cow\tName\n" + "".join(f"{cell}\tA\n" for cell in column))
        assert [cell for cell in column if cell.isdecimal()] == [line.number for line in read.lines]
    # 1188.0 and 1188 would be one animal twice.
    read = _read("Cow\tName\n1188.0\tA\n1188\tB\n1190.0\tC\n1191.0\tD\n")
    assert ["1188", "1190", "1191"] == [line.number for line in read.lines]


def test_a_remark_with_commas_in_a_list_of_commas() -> None:
    """Behind the remark's comma stands a blank; a comma in a name moves the cells, and waits."""
    read = _read(
        "Nº,Nombre,Partos,Observaciones\n1,Luna,3,coja, mirar\n2,Sol, grande,2,coja\n3,Mar,1,vendida, enero\n"
    )
    assert ["1"] == [line.number for line in read.lines]
    assert {3: "has 5 cells", 4: "has 'vendida'"} == {
        one.row.line: one.why[0][: len(want)]
        for one, want in zip(read.refused, ("has 5 cells", "has 'vendida'"), strict=True)
    }


def test_lines_that_were_quoted_as_a_whole() -> None:
    wrapped = '"Nummer,""Øremærke"",Navn"\n"809,""DK 19722-30809"",Tulle"\n"811,,Inger"\n'
    assert [("809", "Tulle"), ("811", "Inger")] == [
        (one.number, one.name) for one in _read(wrapped).lines
    ]
    plain = '"Nummer";"Navn"\n"809";"Tulle, lille"\n'
    assert [("809", "Tulle, lille")] == [(one.number, one.name) for one in _read(plain).lines]


def test_a_printout_with_strokes_below_its_headings() -> None:
    """One blank between headings is enough there; pages and their headings again are no animals."""
    page = "   COW  PEN LACT  EID\n ====  ==== ==== ===============\n"
    text = f"HERD LIST  PAGE 1\n\n{page} 1002     8    5 999000000001002\n\fHERD LIST  PAGE 2\n\n{page}   71    20    0 999000000000071\n"
    read = _read(text)
    assert [("1002", 5, "999000000001002"), ("71", 0, "999000000000071")] == [
        (one.number, one.lactation, one.eid) for one in read.lines
    ]


def test_what_is_pinned_to_a_cell_is_not_passed_over() -> None:
    """A comment that says that she left makes her line wait; the others are named."""
    rows = [["Cow", "Name"], [412, "Rose"], [413, "Ivy"], [414, "May"]]
    read = _read(_book(rows, B3="Robin:\nsold 12/1", B4="kicks"))
    assert ["412", "414"] == [line.number for line in read.lines]
    assert "has a comment 'sold 12/1'" in read.refused[0].why[0]
    assert "2 comments on cells not taken" in read.how


def test_hidden_rows_are_named() -> None:
    """They may be animals that somebody took out of sight when they left."""
    book = load_workbook(io.BytesIO(_book([["Cow"], [412], [413], [None], [414]])))
    for line in (3, 4, 5):
        book.active.row_dimensions[line].hidden = True
    out = io.BytesIO()
    book.save(out)
    read = _read(out.getvalue())
    assert ["412", "413", "414"] == [line.number for line in read.lines]
    assert "(2 hidden rows looked at too: 3, 5)" in read.how


def test_a_sheet_named_for_leaving_is_asked() -> None:
    rows = [["Cow", "Name"], [412, "Rose"]]
    assert "'Sold': have its animals left?" in _asked(_book(rows, name="Sold"))
    assert "'Abgänge 2026'" in _asked(_book(rows, name="Abgänge 2026"))
    table = read_table(_book(rows, name="Sold"), sheet="Sold")
    assert ["412"] == [
        one.number for one in read_rows(table, find_columns(table), today=TODAY).lines
    ]


def test_columns_that_may_say_who_left_are_asked() -> None:
    """`Out` with days or crosses, and a column of states with a code among them."""
    assert "'Out' may say which animals have left" in _asked("Cow;Out\n1;12/01/2026\n2;\n")
    assert "'Uit' may say" in _asked("Koe;Uit\n1;x\n2;\n")
    assert 1 == len(_read("Cow;Out\n1;north field\n2;\n").told[1:])
    assert ["1", "2"] == [one.number for one in _read("Cow;Out\n1;x\n2;\n", left_on="-").lines]
    read = _read("Cow;Out\n1;x\n2;\n", left_on="Out")
    assert [AnimalStatus.OFF_ROSTER, None] == [one.status for one in read.lines]
    codes = "Cow;Code\n1;open\n2;dry\n3;fresh\n4;{}\n5;bred\n"
    assert "'Code' may say which animals have left" in _asked(codes.format("S9"))
    assert 5 == len(_read(codes.format("bred")).lines)
    assert 2 == len(_read("Cow;Sold;Out\n1;x;x\n2;;\n").lines)


def test_what_was_said_of_such_a_column_is_kept_for_the_farm() -> None:
    """Also that it says nothing here; the next list is not asked about it."""
    table = read_table(b"Cow;Out\n1;x\n2;\n")
    for answer, statuses in (("-", [None, None]), ("Out", [AnimalStatus.OFF_ROSTER, None])):
        kept = find_columns(table, given={"left_on": answer}).kept
        read = read_rows(table, find_columns(table, kept=kept), today=TODAY)
        assert statuses == [one.status for one in read.lines]
    said_since = find_columns(table, given={"left_on": "Out"}, kept={"out": "-"})
    assert {"cow": "number", "out": "left_on"} == said_since.kept


def test_how_she_left_before_its_day() -> None:
    read = _read("Vache;Sortie\n1;Mort le 03/02/26\n2;Vendue 12/01/26\n3;\n")
    assert [AnimalStatus.DEAD, AnimalStatus.SOLD, None] == [one.status for one in read.lines]


def test_lines_above_groups_are_no_animals() -> None:
    """So that they do not keep `--complete` from taking others off."""
    read = _read(
        "N.\tNome\nBOX 1 – FRESCHE\n39\tLuna\nSubtotaal A\t1\nLot B\n40\tSol\nEen lijst van de boer\n"
    )
    assert ["39", "40"] == [one.number for one in read.lines]
    assert not read.animals_refused


def test_sheets_that_were_not_read_are_named() -> None:
    """Who names one of two lists may forget the other."""
    book = load_workbook(io.BytesIO(_book([["Cow"], [412]], name="Milking")))
    for row in (["Cow"], [500]):
        sheet = book["Dry"] if "Dry" in book.sheetnames else book.create_sheet("Dry")
        sheet.append(row)
    out = io.BytesIO()
    book.save(out)
    assert "several sheets" in _asked(out.getvalue())
    assert "'Milking' (not read: 'Dry')" in read_table(out.getvalue(), sheet="milking").how
