"""Rosters written as a stranger would send them: kept apart from `messy.py`, by other rules.

They were written in one go before the reader saw any of them, each from a situation on a farm: who
typed the list, in which program, and what went wrong on the way. All farms and animals are invented,
electronic numbers bear the test code 999. `docs/reliability.md` says how the reader did at first
sight. What a farmer hopes for stands beside each file; a row may be refused with its reason instead,
but no animal may come out that is none, and no field may be lost without a word.
"""

import datetime as dt
import gzip
import io
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any
from xml.sax.saxutils import escape

from openpyxl import Workbook
from openpyxl.comments import Comment
from openpyxl.styles import Font

__all__ = ["TODAY", "Stranger", "all_strangers"]

TODAY = dt.date(2026, 3, 2)
Animals = dict[str, dict[str, Any]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stranger:
    """One file and what its farmer hopes for."""

    name: str
    data: bytes
    hoped: Animals
    """Number to what the file says of her."""
    none: tuple[str, ...] = ()
    """Words of rows that are no animals; each such row must be listed."""
    doubtful: frozenset[str] = frozenset()
    """Animals of `hoped` that a careful reader must not take as they stand: refused or asked."""
    asked: str = ""
    """Part of the question, where a careful reader must ask."""
    given: Mapping[str, str] = field(default_factory=dict)
    """What the farmer answers, field to heading."""


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def _text(name: str, text: str, hoped: Animals, *, letters: str = "utf-8", **more: Any) -> Stranger:
    return Stranger(name=name, data=text.encode(letters), hoped=hoped, **more)


def _saved(book: Workbook) -> bytes:
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


# --- text files ---------------------------------------------------------------------------------


def merged_title_over_two_heading_rows() -> Stranger:
    """A report of a milking program: a group of columns has a word above its own headings."""
    text = (
        "Willow Farm;;;;;\n"
        "Animal;;;Calving;;\n"
        "Number;Name;Ear tag;Last calving;Lactation;Days\n"
        "17;Fern;XX 40017;14.11.2025;3;108\n"
        "18;Moss;XX 40018;02.12.2025;1;90\n"
        "203;Reed;XX 40203;30.01.2026;5;31\n"
        "Number of cows: 3;;;;;\n"
    )
    return _text(
        "merged-title.csv", text,
        {
            "17": {"name": "Fern", "ear_tag": "XX 40017", "calved_on": day("2025-11-14"), "lactation": 3},
            "18": {"name": "Moss", "ear_tag": "XX 40018", "calved_on": day("2025-12-02"), "lactation": 1},
            "203": {"name": "Reed", "ear_tag": "XX 40203", "calved_on": day("2026-01-30"), "lactation": 5},
        },
        none=("Willow Farm", "Number of cows"),
    )  # fmt: skip


def two_heading_rows_for_one_table() -> Stranger:
    """Each heading is broken over two rows: `Cow` above `No.`, `Lact.` above `No.`."""
    text = (
        "Cow\tElectronic\tCalving\tLact.\n"
        "No.\tnumber\tdate\tNo.\n"
        "5\t999 000 000 050 005\t2025-10-09\t2\n"
        "6\t999 000 000 050 006\t2025-12-24\t4\n"
    )
    return _text(
        "two-heading-rows.txt", text,
        {
            "5": {"eid": "999000000050005", "calved_on": day("2025-10-09"), "lactation": 2},
            "6": {"eid": "999000000050006", "calved_on": day("2025-12-24"), "lactation": 4},
        },
    )  # fmt: skip


def footers_of_every_kind() -> Stranger:
    """Sums, means, a signature, a page number and when it was printed."""
    text = (
        "Number,Lactation,Name\n"
        "31,2,Ivy\n"
        "32,4,Oak\n"
        "33,1,Ash\n"
        "3,7,\n"
        "Average,2.3,\n"
        "Herd size,3,\n"
        "Printed 02/03/2026 by R. Field,,\n"
        "Page 1 of 1,,\n"
        "*** end of list ***,,\n"
    )
    return _text(
        "footers.csv", text,
        {"31": {"lactation": 2, "name": "Ivy"}, "32": {"lactation": 4, "name": "Oak"},
         "33": {"lactation": 1, "name": "Ash"}, "3": {"lactation": 7}},
        none=("Average", "Herd size", "Printed", "Page 1", "end of list"),
    )  # fmt: skip


def units_in_cells() -> Stranger:
    """Someone wrote the unit beside each figure."""
    text = (
        "Cow no;Lactation;Days in milk;Calved\n"
        "no. 71;3rd;120 days;02 Nov 2025\n"
        "no. 72;lact. 1;88 days;04 Dec 2025\n"
        "no. 73;2;300 days;06 May 2025\n"
    )
    return _text(
        "units.csv", text,
        {
            "71": {"lactation": 3, "calved_on": day("2025-11-02")},
            "72": {"lactation": 1, "calved_on": day("2025-12-04")},
            "73": {"lactation": 2, "calved_on": day("2025-05-06")},
        },
    )  # fmt: skip


def mixed_letters() -> Stranger:
    """Two exports glued together with `copy /b`: one in UTF-8, one in the letters of Windows."""
    one = "Nummer;Naam;Levensnummer\n81;Zoë;XX 50081\n82;Trijn;XX 50082\n".encode()
    two = "83;Geeltje;XX 50083\n84;Loeïs;XX 50084\n".encode("cp1252")
    return Stranger(
        name="glued.csv", data=one + two,
        hoped={
            "81": {"name": "Zoë", "ear_tag": "XX 50081"}, "82": {"name": "Trijn", "ear_tag": "XX 50082"},
            "83": {"name": "Geeltje", "ear_tag": "XX 50083"}, "84": {"name": "Loeïs", "ear_tag": "XX 50084"},
        },
    )  # fmt: skip


def tabs_with_blanks() -> Stranger:
    """Copied out of a web page: tabs, trailing tabs, NBSP in front of numbers."""
    text = (
        "Tier Nr.\tName\tLaktation\tKalbedatum\t\t\n"
        "\u00a091\tAnemone\u00a0 \t2 \t03.12.2025\t\t\n"
        " 92\u00a0\t Klee\t1\t 28.11.2025 \t\t\n"
        "\u200793\tDistel\u2009\t \t\t\t\n"
    )
    return _text(
        "from-a-page.txt", text,
        {
            "91": {"name": "Anemone", "lactation": 2, "calved_on": day("2025-12-03")},
            "92": {"name": "Klee", "lactation": 1, "calved_on": day("2025-11-28")},
            "93": {"name": "Distel", "lactation": None},
        },
    )  # fmt: skip


def decimal_commas() -> Stranger:
    """Semicolons, and decimal commas in every figure, also in the whole ones."""
    text = (
        "Ko nr.;Navn;Laktation;Mælk kg;Kælvningsdato\n"
        "101,0;Rosa;2,0;31,4;12-10-2025\n"
        "102,0;Maja;3,0;28,9;24-12-2025\n"
        "103,0;Lise;1,0;22,0;01-02-2026\n"
    )
    return _text(
        "komma.csv", text,
        {
            "101": {"name": "Rosa", "lactation": 2, "calved_on": day("2025-10-12")},
            "102": {"name": "Maja", "lactation": 3, "calved_on": day("2025-12-24")},
            "103": {"name": "Lise", "lactation": 1, "calved_on": day("2026-02-01")},
        },
        letters="cp1252",
    )  # fmt: skip


def unbalanced_quotes() -> Stranger:
    """A name with an inch sign, a name in quotes within quotes, a quote that never ends."""
    text = (
        "Number,Name,Ear tag,Lactation\n"
        '111,"Big ""Bertha""",XX 60111,4\n'
        '112,5" scar,XX 60112,2\n'
        '113,"Dot,XX 60113,1\n'
        "114,Spot,XX 60114,3\n"
    )
    return _text(
        "quotes.csv", text,
        {
            "111": {"name": 'Big "Bertha"', "ear_tag": "XX 60111", "lactation": 4},
            "112": {"name": '5" scar', "ear_tag": "XX 60112", "lactation": 2},
            "113": {"name": "Dot", "ear_tag": "XX 60113", "lactation": 1},
            "114": {"name": "Spot", "ear_tag": "XX 60114", "lactation": 3},
        },
    )  # fmt: skip


def serial_dates_in_text() -> Stranger:
    """The date columns were pasted as plain figures: days since 1900."""
    text = "Number,Calving date,Dry-off date\n121,45979,\n122,46003,\n123,45760,46050\n"
    return _text(
        "serials.csv", text,
        {
            "121": {"calved_on": day("2025-11-18")}, "122": {"calved_on": day("2025-12-12")},
            "123": {"calved_on": day("2025-04-13"), "dried_off_on": day("2026-01-28")},
        },
        doubtful=frozenset({"121", "122", "123"}),
    )  # fmt: skip


def empty_columns() -> Stranger:
    """Empty columns left, between and right, with and without headings."""
    text = (
        ",,Animal ID,,,Tag number,,Parity,,\n"
        ",,131,,,XX 70131,,2,,\n"
        ",,132,,,XX 70132,,,,\n"
        ",,,,,,,,,\n"
        ",,133,,,,,6,,\n"
    )
    return _text(
        "empty-columns.csv", text,
        {"131": {"ear_tag": "XX 70131", "lactation": 2}, "132": {"ear_tag": "XX 70132"}, "133": {"lactation": 6}},
    )  # fmt: skip


def headings_on_every_page() -> Stranger:
    """A printout saved as text: title and headings again on each page, in capitals on the second."""
    text = (
        "HEIFERS AND COWS            page 1\n"
        "Number|Name|Status\n"
        "141|Vale|in milk\n"
        "142|Dale|dry\n"
        "HEIFERS AND COWS            page 2\n"
        "NUMBER|NAME|STATUS\n"
        "143|Glen|sold\n"
        "144|Brook|in milk\n"
    )
    return _text(
        "pages.txt", text,
        {"141": {"name": "Vale", "status": "present"}, "142": {"name": "Dale", "status": "present"},
         "143": {"name": "Glen", "status": "sold"}, "144": {"name": "Brook", "status": "present"}},
        none=("page 1", "page 2", "NUMBER"),
    )  # fmt: skip


def two_lists_in_one_file() -> Stranger:
    """Cows first; then a blank line and the calves with other columns in another order."""
    text = (
        "Number,Name,Calving date\n"
        "151,Pearl,2025-09-09\n"
        "152,Opal,2025-09-19\n"
        "\n"
        "Name,Number,Born\n"
        "Ruby,951,2026-01-05\n"
        "Jade,952,2026-01-09\n"
    )
    return _text(
        "two-lists.csv", text,
        {"151": {"name": "Pearl", "calved_on": day("2025-09-09")}, "152": {"name": "Opal", "calved_on": day("2025-09-19")},
         "951": {"name": "Ruby"}, "952": {"name": "Jade"}},
        none=("Born",),
    )  # fmt: skip


def apostrophes() -> Stranger:
    """Numbers kept as text with an apostrophe, some typographic, and a tag in quotes."""
    text = (
        "Number;EID;Name\n"
        "'0161;'999000000060161;Nell\n"
        "’0162;’999000000060162;Tess\n"
        "0163;'999000000060163';O'Hara\n"
    )
    return _text(
        "apostrophes.csv", text,
        {"0161": {"eid": "999000000060161", "name": "Nell"}, "0162": {"eid": "999000000060162", "name": "Tess"},
         "0163": {"eid": "999000000060163", "name": "O'Hara"}},
    )  # fmt: skip


def duplicates_with_other_tags() -> Stranger:
    """One number twice with two tags; one tag at two numbers; a number written 0174 and 174."""
    text = (
        "Number,Ear tag,Lactation\n"
        "171,XX 80171,2\n"
        "171,XX 80999,2\n"
        "172,XX 80172,1\n"
        "173,XX 80172,1\n"
        "174,XX 80174,3\n"
        "0174,XX 81174,5\n"
        "175,XX 80175,2\n"
    )
    return _text(
        "duplicates.csv", text,
        {"171": {}, "172": {}, "173": {}, "174": {"ear_tag": "XX 80174"}, "0174": {"ear_tag": "XX 81174"},
         "175": {"ear_tag": "XX 80175", "lactation": 2}},
        doubtful=frozenset({"171", "172", "173", "174", "0174"}),
    )  # fmt: skip


def eid_in_three_columns() -> Stranger:
    """The electronic number stands in three columns: country, six digits, six digits."""
    text = "Number,EID,,,Name\n181,999,000000,070181,Kit\n182,999,000000,070182,Wren\n"
    return _text(
        "split-eid.csv", text,
        {"181": {"eid": "999000000070181", "name": "Kit"}, "182": {"eid": "999000000070182", "name": "Wren"}},
    )  # fmt: skip


def eid_split_with_own_headings() -> Stranger:
    """Country and national number in two columns, each with a heading."""
    text = (
        "Cow number;Country code;Electronic number;Lactation\n"
        "184;999;000000070184;2\n"
        "185;999;000000070185;3\n"
    )
    return _text(
        "country-apart.csv", text,
        {"184": {"eid": "999000000070184", "lactation": 2}, "185": {"eid": "999000000070185", "lactation": 3}},
    )  # fmt: skip


def bulls_and_calves() -> Stranger:
    """Everything on the farm with its kind: bulls, calves, a dog in a joke."""
    text = (
        "Number,Name,Type,Status\n"
        "191,Hazel,Cow,alive\n"
        "192,Thunder,Bull,alive\n"
        "193,Bean,Calf,alive\n"
        "194,Juniper,Cow,culled 12/01/2026\n"
        "195,Rowan,Cow,Sold (market)\n"
        ",Rex,Dog,alive\n"
    )
    return _text(
        "all-kinds.csv", text,
        {"191": {"name": "Hazel", "status": "present"}, "192": {"name": "Thunder", "status": "present"},
         "193": {"name": "Bean", "status": "present"}, "194": {"name": "Juniper", "status": "off the roster"},
         "195": {"name": "Rowan", "status": "sold"}},
        none=("Rex",),
    )  # fmt: skip


def comments_in_the_file() -> Stranger:
    """A script wrote it: lines with `#` or `//` in front, and a remark in the number's cell."""
    text = (
        "# herd of Birch Farm, made 2026-03-01\n"
        "// do not edit\n"
        "Number;Name;Lactation\n"
        "#201;Thrift;2\n"
        "# 202 left last week\n"
        "203 (new);Sorrel;1\n"
        "204*;Tansy;3\n"
        "205 / ask Jo;Yarrow;2\n"
    )
    return _text(
        "remarks.csv", text,
        {"201": {"name": "Thrift", "lactation": 2}, "203": {"name": "Sorrel"}, "204": {"name": "Tansy"},
         "205": {"name": "Yarrow"}},
        none=("202 left", "do not edit", "herd of"),
    )  # fmt: skip


def headings_nobody_knows() -> Stranger:
    """A farm's own words for its columns, in Swedish; the farmer answers."""
    text = (
        "Konummer (SE);Öronmärke;Namn;Senaste kalvning\n"
        "211;XX 90211;Majros;2025-11-30\n"
        "212;XX 90212;Stjärna;2025-12-31\n"
    )
    return _text(
        "svenska.csv", text,
        {"211": {"ear_tag": "XX 90211", "name": "Majros", "calved_on": day("2025-11-30")},
         "212": {"ear_tag": "XX 90212", "name": "Stjärna", "calved_on": day("2025-12-31")}},
        letters="utf-16",
        given={"number": "1", "ear_tag": "2", "name": "Namn", "calved_on": "senaste kalvning"},
    )  # fmt: skip


def fixed_width() -> Stranger:
    """A printout of a DOS program: columns lined up with spaces, letters of DOS."""
    text = (
        "Nummer    Name            Laktation  Kalbedatum\r\n"
        "------    --------------  ---------  ----------\r\n"
        "221       Bärbel          3          14.10.2025\r\n"
        "222       Grete die Große 1          29.11.2025\r\n"
        "224                       2          03.01.2026\r\n"
    )
    return _text(
        "dos.prn", text,
        {"221": {"name": "Bärbel", "lactation": 3, "calved_on": day("2025-10-14")},
         "222": {"name": "Grete die Große", "lactation": 1, "calved_on": day("2025-11-29")},
         "224": {"lactation": 2, "calved_on": day("2026-01-03")}},
        letters="cp850",
        none=("----",),
    )  # fmt: skip


def american_dates_with_times() -> Stranger:
    """Month first with a clock in twelve hours; one day is wrong."""
    text = (
        "Cow ID,Fresh Date,Lact,Pen\n"
        "1231,9/14/2025 12:00:00 AM,2,4\n"
        "1232,11/3/2025 12:00:00 AM,1,4\n"
        "1233,31/12/2025 12:00:00 AM,3,5\n"
    )
    return _text(
        "month-first.csv", text,
        {"1231": {"calved_on": day("2025-09-14"), "lactation": 2}, "1232": {"calved_on": day("2025-11-03")},
         "1233": {"calved_on": day("2025-12-31")}},
        doubtful=frozenset({"1232"}),
    )  # fmt: skip


def columns_shifted_in_one_row() -> Stranger:
    """A name holds the delimiter, without quotes: its row has one cell too many."""
    text = (
        "Number,Name,EID,Lactation\n"
        "241,Dawn,999000000080241,2\n"
        "242,Dusk, the black one,999000000080242,3\n"
        "243,Noon,999000000080243,1\n"
    )
    return _text(
        "shifted.csv", text,
        {"241": {"name": "Dawn", "eid": "999000000080241", "lactation": 2}, "242": {},
         "243": {"name": "Noon", "eid": "999000000080243", "lactation": 1}},
        doubtful=frozenset({"242"}),
    )  # fmt: skip


# --- workbooks ----------------------------------------------------------------------------------


def hidden_sheet() -> Stranger:
    """Last year's list is hidden behind this year's."""
    book = Workbook()
    this = book.active
    this.title = "2026"
    for row in (["Number", "Name"], [251, "Aster"], [252, "Lily"]):
        this.append(row)
    last = book.create_sheet("2025")
    for row in (["Number", "Name"], [251, "Aster"], [259, "Gone"]):
        last.append(row)
    last.sheet_state = "hidden"
    return Stranger(
        name="hidden.xlsx", data=_saved(book), hoped={"251": {"name": "Aster"}, "252": {"name": "Lily"}}
    )  # fmt: skip


def formulas_and_merged_cells() -> Stranger:
    """A styled sheet: merged title, a comment, the count as a formula, a number that is calculated."""
    book = Workbook()
    sheet = book.active
    sheet.merge_cells("A1:D1")
    sheet["A1"] = "Herd of Alder Farm"
    sheet["A1"].font = Font(bold=True)
    for row in (["Number", "Ear tag", "Lactation", "Calved"], [261, "XX 11261", 2, dt.date(2025, 12, 1)],
                [262, "XX 11262", 1, dt.date(2026, 1, 1)], ["=A4+1", "XX 11263", 3, dt.date(2025, 8, 8)]):  # fmt: skip
        sheet.append(row)
    sheet["A3"].comment = Comment("kicks", "Robin Field")
    sheet.append(["=COUNT(A3:A5)", None, "=SUM(C3:C5)", None])
    return Stranger(
        name="styled.xlsx", data=_saved(book),
        hoped={"261": {"ear_tag": "XX 11261", "lactation": 2, "calved_on": day("2025-12-01")},
               "262": {"ear_tag": "XX 11262", "lactation": 1, "calved_on": day("2026-01-01")}},
        none=("XX 11263", "Herd of Alder Farm"),
    )  # fmt: skip


def types_all_over() -> Stranger:
    """Numbers as text beside numbers, dates as text beside dates, a rate, a truth, a percent."""
    book = Workbook()
    sheet = book.active
    sheet.append(["Animal no", "EID", "Date calved", "Lactation", "Scored"])
    sheet.append([271, "999000000090271", dt.datetime(2025, 12, 13, 0, 0), 2, True])
    sheet.append(["272", 999000000090272, "14/12/2025", "3", False])
    sheet.append([273.0, "999 000000 090273", dt.date(2025, 12, 15), 1.0, None])
    sheet.append([" 274 ", 9.99000000090274e14, dt.date(2025, 12, 16), None, True])
    return Stranger(
        name="types.xlsx", data=_saved(book),
        hoped={
            "271": {"eid": "999000000090271", "calved_on": day("2025-12-13"), "lactation": 2},
            "272": {"eid": "999000000090272", "calved_on": day("2025-12-14"), "lactation": 3},
            "273": {"eid": "999000000090273", "calved_on": day("2025-12-15"), "lactation": 1},
            "274": {"eid": "999000000090274", "calved_on": day("2025-12-16")},
        },
    )  # fmt: skip


def hidden_and_filtered_rows() -> Stranger:
    """Rows hidden by a filter are sold animals that the farmer did not mean to send."""
    book = Workbook()
    sheet = book.active
    for row in (
        ["Number", "Name", "Status"],
        [281, "Linnet", "in milk"],
        [282, "Robin", "sold"],
        [283, "Finch", "dry"],
    ):
        sheet.append(row)
    sheet.row_dimensions[3].hidden = True
    return Stranger(
        name="filtered.xlsx", data=_saved(book),
        hoped={"281": {"name": "Linnet", "status": "present"}, "282": {"name": "Robin", "status": "sold"},
               "283": {"name": "Finch", "status": "present"}},
    )  # fmt: skip


def old_workbook(as_name: str = "list.xls") -> Stranger:
    """A real old workbook (BIFF), as programs of twenty years ago write it."""
    import xlwt

    book = xlwt.Workbook()
    sheet = book.add_sheet("Herd")
    date = xlwt.easyxf(num_format_str="DD/MM/YYYY")
    for at, heading in enumerate(("Number", "EID", "Calving date", "Lactation")):
        sheet.write(0, at, heading)
    for at, number in enumerate((291, 292), start=1):
        sheet.write(at, 0, number)
        sheet.write(at, 1, f"999000000100{number}")
        sheet.write(at, 2, dt.date(2025, 12, at), date)
        sheet.write(at, 3, at)
    out = io.BytesIO()
    book.save(out)
    return Stranger(
        name=as_name, data=out.getvalue(),
        hoped={"291": {"eid": "999000000100291", "calved_on": day("2025-12-01"), "lactation": 1},
               "292": {"eid": "999000000100292", "calved_on": day("2025-12-02"), "lactation": 2}},
    )  # fmt: skip


def web_page_called_xls() -> Stranger:
    """A herd program's `.xls` that is a web page with a table."""
    text = (
        "<html><head><meta charset='utf-8'></head><body><table border=1>"
        "<tr><th>Number</th><th>Name</th><th>Calving date</th></tr>"
        "<tr><td>301</td><td>F&uuml;chsin &amp; Co</td><td>2025-12-05</td></tr>"
        "<tr><td>302</td><td>Rehlein</td><td></td></tr></table></body></html>"
    )
    return _text(
        "export.xls", text,
        {"301": {"name": "Füchsin & Co", "calved_on": day("2025-12-05")}, "302": {"name": "Rehlein"}},
    )  # fmt: skip


def open_document() -> Stranger:
    """A sheet of an open document (ODS), a date and repeated empty cells in it."""

    def cell(value: str, kind: str = "string") -> str:
        if kind == "date":
            return f'<table:table-cell office:value-type="date" office:date-value="{value}"><text:p>{value}</text:p></table:table-cell>'
        if kind == "float":
            return f'<table:table-cell office:value-type="float" office:value="{value}"><text:p>{value}</text:p></table:table-cell>'
        if not value:
            return '<table:table-cell table:number-columns-repeated="1"/>'
        return f'<table:table-cell office:value-type="string"><text:p>{escape(value)}</text:p></table:table-cell>'

    rows = [
        [cell("Number"), cell("Name"), cell("Calving date"), cell("Lactation")],
        [cell("311", "float"), cell("Poppy"), cell("2025-12-06", "date"), cell("2", "float")],
        [cell("0312"), cell(""), cell("2026-01-06", "date"), cell("1", "float")],
    ]
    body = "".join(f"<table:table-row>{''.join(row)}</table:table-row>" for row in rows)
    content = (
        '<?xml version="1.0" encoding="UTF-8"?><office:document-content '
        'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
        'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
        'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" office:version="1.2">'
        f'<office:body><office:spreadsheet><table:table table:name="Herd">{body}</table:table>'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    manifest = (
        '<?xml version="1.0" encoding="UTF-8"?><manifest:manifest '
        'xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">'
        '<manifest:file-entry manifest:full-path="/" manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/>'
        "</manifest:manifest>"
    )
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        packed.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        packed.writestr("META-INF/manifest.xml", manifest)
        packed.writestr("content.xml", content)
    return Stranger(
        name="herd.ods", data=out.getvalue(),
        hoped={"311": {"name": "Poppy", "calved_on": day("2025-12-06"), "lactation": 2},
               "0312": {"calved_on": day("2026-01-06"), "lactation": 1}},
    )  # fmt: skip


_SMALL = "Number,Name\n321,Comet\n322,Nova\n"
_SMALL_HOPED: Animals = {"321": {"name": "Comet"}, "322": {"name": "Nova"}}


def packed_gz() -> Stranger:
    """A list packed with gzip."""
    return Stranger(
        name="herd.csv.gz", data=gzip.compress(_SMALL.encode(), mtime=0), hoped=_SMALL_HOPED
    )


def packed_zip() -> Stranger:
    """A list in a zip, with what a Macintosh puts beside it."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        packed.writestr("herd/herd.csv", _SMALL)
        packed.writestr("__MACOSX/herd/._herd.csv", b"\0\5\x16\7")
    return Stranger(name="herd.zip", data=out.getvalue(), hoped=_SMALL_HOPED)


_ALL: tuple[Callable[[], Stranger], ...] = (
    merged_title_over_two_heading_rows, two_heading_rows_for_one_table, footers_of_every_kind, units_in_cells,
    mixed_letters, tabs_with_blanks, decimal_commas, unbalanced_quotes, serial_dates_in_text, empty_columns,
    headings_on_every_page, two_lists_in_one_file, apostrophes, duplicates_with_other_tags, eid_in_three_columns,
    eid_split_with_own_headings, bulls_and_calves, comments_in_the_file, headings_nobody_knows, fixed_width,
    american_dates_with_times, columns_shifted_in_one_row, hidden_sheet, formulas_and_merged_cells, types_all_over,
    hidden_and_filtered_rows, old_workbook, web_page_called_xls, open_document, packed_gz, packed_zip,
)  # fmt: skip


def all_strangers() -> list[Stranger]:
    """Every file."""
    return [make() for make in _ALL]
