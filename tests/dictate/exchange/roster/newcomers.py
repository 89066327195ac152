"""Rosters as they come from farms, a third time: ways to go wrong that the other two had not tried.

Written in one go before the reader saw any of them; how it did at first sight stands in
`docs/reliability.md`. All farms and animals are invented, electronic numbers bear the test code 999.
"""

from openpyxl import Workbook
from openpyxl.styles import Font

from tests.dictate.exchange.roster.strangers import Stranger, _saved, _text, day

__all__ = ["all_newcomers"]


def two_animals_in_a_row() -> Stranger:
    """To save paper the herd is printed in two blocks beside each other."""
    text = (
        "Number;Name;Lact.;;Number;Name;Lact.\n"
        "301;Anise;2;;304;Dill;1\n"
        "302;Basil;3;;305;Endive;6\n"
        "303;Cress;1;;;;\n"
    )
    hoped = {
        "301": {"name": "Anise", "lactation": 2}, "302": {"name": "Basil", "lactation": 3},
        "303": {"name": "Cress", "lactation": 1}, "304": {"name": "Dill", "lactation": 1},
        "305": {"name": "Endive", "lactation": 6},
    }  # fmt: skip
    return _text("two-in-a-row.csv", text, hoped)


def groups_in_merged_cells() -> Stranger:
    """Headings over two columns each, and the group's name once for all its cows."""
    book = Workbook()
    sheet = book.active
    sheet.append(["Group", "Animal", None, "Calving", None])
    sheet.append([None, "Number", "Name", "Date", "Lactation"])
    sheet.append(["Fresh", 311, "Hazel", "2026-02-01", 2])
    sheet.append([None, 312, "Juniper", "2026-01-28", 3])
    sheet.append(["Late", 313, "Larch", "2025-06-11", 1])
    for cells in ("A1:A2", "B1:C1", "D1:E1", "A3:A4"):
        sheet.merge_cells(cells)
    hoped = {
        "311": {"name": "Hazel", "lactation": 2, "calved_on": day("2026-02-01")},
        "312": {"name": "Juniper", "lactation": 3, "calved_on": day("2026-01-28")},
        "313": {"name": "Larch", "lactation": 1, "calved_on": day("2025-06-11")},
    }
    return Stranger(name="groups.xlsx", data=_saved(book), hoped=hoped)


def totals_at_the_end() -> Stranger:
    """The count stands in the number's column, its word in that of the names."""
    text = (
        "Nummer;Name;Laktation\n321;Birke;2\n322;Eiche;4\n323;Erle;1\n"
        "3;Gesamt;\n;Mittelwert;2,3\n"
    )  # fmt: skip
    hoped = {
        "321": {"name": "Birke", "lactation": 2}, "322": {"name": "Eiche", "lactation": 4},
        "323": {"name": "Erle", "lactation": 1},
    }  # fmt: skip
    return _text("totals.csv", text, hoped, none=("Gesamt", "Mittelwert"))


def notes_below() -> Stranger:
    """What the farmer wants to tell stands under the list, some of it with numbers."""
    text = (
        "Cow,Lactation\n331,2\n332,1\n333,5\n\n"
        "Notes\n"
        "331 is lame since Monday\n"
        "Vet comes 14.3.\n"
        "2 heifers follow\n"
        "Call 0555 010 199 before you come\n"
    )
    none = ("Notes", "331 is lame", "Vet comes", "2 heifers", "Call 0555")
    hoped = {"331": {"lactation": 2}, "332": {"lactation": 1}, "333": {"lactation": 5}}
    return _text("notes-below.csv", text, hoped, none=none)


def thousands_separators() -> Stranger:
    """The spreadsheet shows 1204 as 1.204; the file was saved as it was shown."""
    text = "Nummer;Name;Laktation\n998;Ahorn;3\n1.204;Buche;2\n1.317;Fichte;1\n"
    hoped = {"998": {"name": "Ahorn", "lactation": 3}}
    return _text("thousands.csv", text, hoped, none=("1.204", "1.317"))


def words_behind_numbers() -> Stranger:
    """Whether she is dry is written behind her number, in three hands."""
    text = (
        "Number,Name\n341 (dry),Flax\n342 dry,Hemp\n343*,Hops\n344 (dry since 1 Feb),Kale\n"
        "345 (was 45),Leek\n346,Oat\n"
    )  # fmt: skip
    hoped = {
        "341": {"name": "Flax"}, "342": {"name": "Hemp"}, "343": {"name": "Hops"}, "344": {"name": "Kale"},
        "345": {"name": "Leek"}, "346": {"name": "Oat"},
    }  # fmt: skip
    doubtful = frozenset({"341", "342", "343", "344", "345"})
    return _text("dry.csv", text, hoped, doubtful=doubtful)


def tags_with_spaced_check_digits() -> Stranger:
    """National tags as printed: with blanks of three kinds around the check digit."""
    text = (
        "Number;Ear tag\n351;XX 700123 4 00351\n352;XX\u00a0700123\u00a05\u00a000352\n"
        "353;XX\u2009700123\u20096\u200900353\n354;XX  700123  7  00354\n"
    )  # fmt: skip
    hoped = {str(351 + n): {"ear_tag": f"XX 700123 {4 + n} {351 + n:05}"} for n in range(4)}
    return _text("check-digits.csv", text, hoped)


def pivot_before_the_list() -> Stranger:
    """The first sheet sums the herd up; the animals are on the second."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Pivot"
    for row in (
        ["Row Labels", "Count of Number", "Average of DIM"], [1, 40, 155.5], [2, 35, 149],
        [3, 21, 171.2], ["(blank)", 2, None], ["Grand Total", 98, 156.1],
    ):  # fmt: skip
        sheet.append(row)
    data = book.create_sheet("Data")
    for row in (["Number", "Name", "Lactation"], [361, "Rue", 1], [362, "Sage", 2]):
        data.append(row)
    hoped = {"361": {"name": "Rue", "lactation": 1}, "362": {"name": "Sage", "lactation": 2}}
    return Stranger(name="pivot.xlsx", data=_saved(book), hoped=hoped)


def whole_numbers_as_decimals_with_commas() -> Stranger:
    """A statistics program wrote each number as a decimal, with commas."""
    text = "Nummer;Laktation;Milch\n371,0;2,0;31,5\n372,0;3,0;28,0\n370,0;1,0;0,0\n"
    hoped = {"371": {"lactation": 2}, "372": {"lactation": 3}, "370": {"lactation": 1}}
    return _text("decimals.csv", text, hoped)


def newlines_in_cells() -> Stranger:
    """Names over two lines, with the delimiter and quotation marks inside."""
    text = (
        'Number;Name;Ear tag\r\n381;"Thyme\r\n(old: Tansy)";XX 381\r\n'
        '382;"Yarrow; the red";XX 382\r\n383;"the ""Queen""";XX 383\r\n'
    )
    hoped = {
        "381": {"name": "Thyme (old: Tansy)", "ear_tag": "XX 381"},
        "382": {"name": "Yarrow; the red", "ear_tag": "XX 382"},
        "383": {"name": 'the "Queen"', "ear_tag": "XX 383"},
    }
    return _text("newlines.csv", text, hoped)


def dates_in_words() -> Stranger:
    """Each as the herdsman felt that day."""
    text = (
        "Cow\tCalved\n391\t3 Jan 26\n392\t3rd of January 2026\n393\tJan 3, 2026\n394\t3-Jan-2026\n"
        "395\tSat 3 Jan 2026\n396\t3. Januar 2026\n397\tbeginning of January\n"
    )  # fmt: skip
    hoped = {str(number): {"calved_on": day("2026-01-03")} for number in range(391, 398)}
    return _text("dates-in-words.txt", text, hoped, doubtful=frozenset({"397"}))


def two_files_glued_with_marks() -> Stranger:
    """A second export was appended to the first, with its byte order mark and its headings."""
    data = (
        "Číslo,Number,Name\n1,401,Käthe\n".encode("utf-8-sig")
        + "Number,Name\n402,Bjørk\n".encode("utf-8-sig")
    )  # fmt: skip
    hoped = {"401": {"name": "Käthe"}, "402": {"name": "Bjørk"}}
    return Stranger(
        name="glued-marks.csv",
        data=data,
        hoped=hoped,
        none=("Number",),
    )


def blanks_that_nobody_sees() -> Stranger:
    """Copied from a web page: hard blanks, blanks of no width, and tabs around what is meant."""
    book = Workbook()
    sheet = book.active
    for row in (
        ["\u00a0Number ", "Name\u200b", "EID"], ["411\u00a0", " Mint", "999 000 000 000 411\u00a0"],
        ["\u200b412", "Lovage\t", "\u202a999000000000412\u202c"], [" 413 ", "\ufeffBorage", "999000000000413 "],
    ):  # fmt: skip
        sheet.append(row)
    hoped = {
        "411": {"name": "Mint", "eid": "999000000000411"},
        "412": {"name": "Lovage", "eid": "999000000000412"},
        "413": {"name": "Borage", "eid": "999000000000413"},
    }
    return Stranger(name="blanks.xlsx", data=_saved(book), hoped=hoped)


def headings_twice() -> Stranger:
    """Both the last and the calving before it are headed alike."""
    text = "Number,Calving date,Calving date,Name\n421,2025-03-01,2026-01-20,Nettle\n"
    return _text("twice.csv", text, {"421": {}}, asked="several columns")


def hidden_column_of_old_numbers() -> Stranger:
    """Last year's numbers were hidden, not deleted; they bear the same heading."""
    book = Workbook()
    sheet = book.active
    for row in (["Number", "Number", "Name"], [31, 431, "Sorrel"], [32, 432, "Teasel"]):
        sheet.append(row)
    sheet.column_dimensions["A"].hidden = True
    hoped = {"431": {"name": "Sorrel"}, "432": {"name": "Teasel"}}
    return Stranger(
        name="hidden-column.xlsx", data=_saved(book), hoped=hoped, asked="several columns"
    )


def struck_out_rows() -> Stranger:
    """Cows that were sold are struck through, as on paper."""
    book = Workbook()
    sheet = book.active
    for row in (["Number", "Name"], [441, "Vetch"], [442, "Woad"], [443, "Yam"]):
        sheet.append(row)
    for cell in sheet[3]:
        cell.font = Font(strike=True)
    hoped = {"441": {"name": "Vetch"}, "442": {"name": "Woad"}, "443": {"name": "Yam"}}
    return Stranger(
        name="struck-out.xlsx", data=_saved(book), hoped=hoped, doubtful=frozenset({"442"})
    )


def counted_rows() -> Stranger:
    """A column counts the rows and is headed like a number."""
    text = "No.;Cow;Name\n1;451;Bean\n2;452;Pea\n3;453;Lentil\n"
    hoped = {"451": {"name": "Bean"}, "452": {"name": "Pea"}, "453": {"name": "Lentil"}}
    return _text("counted.csv", text, hoped, asked="several columns")


def kinds_below_the_headings() -> Stranger:
    """A database wrote the kind of each column under its heading."""
    text = (
        "number|name|calved_on|lactation\nvarchar(10)|varchar(40)|date|int4\n"
        "461|Chard|2025-12-12|2\n462|Fennel|2025-11-30|3\n(2 rows)\n"
    )
    hoped = {
        "461": {"name": "Chard", "calved_on": day("2025-12-12"), "lactation": 2},
        "462": {"name": "Fennel", "calved_on": day("2025-11-30"), "lactation": 3},
    }
    return _text("kinds.txt", text, hoped, none=("varchar", "2 rows"))


def turned_by_a_quarter() -> Stranger:
    """One animal to a column."""
    text = "Number,471,472,473\nName,Maize,Rye,Spelt\nLactation,1,2,3\n"
    return _text(
        "turned.csv", text, {"471": {}, "472": {}, "473": {}}, asked="turn the list by a quarter"
    )


def all_newcomers() -> list[Stranger]:
    return [
        two_animals_in_a_row(), groups_in_merged_cells(), totals_at_the_end(), notes_below(),
        thousands_separators(), words_behind_numbers(), tags_with_spaced_check_digits(),
        pivot_before_the_list(), whole_numbers_as_decimals_with_commas(), newlines_in_cells(),
        dates_in_words(), two_files_glued_with_marks(), blanks_that_nobody_sees(), headings_twice(),
        hidden_column_of_old_numbers(), struck_out_rows(), counted_rows(), kinds_below_the_headings(),
        turned_by_a_quarter(),
    ]  # fmt: skip
