"""The roster on the page: what only a person knows is asked, and a list is taken back as one act."""

import html
import io
import re
from typing import Any

import openpyxl

from dictate.store.database import Database
from dictate.store.farms import farm_by_name
from dictate.store.record_queries import animal_rows, finding_rows
from dictate.store.roster import take_in_roster
from dictate.store.roster_lines import RosterLine

from .conftest import Browser


def _numbers(database: Database) -> list[str]:
    with database.reading() as session:
        return sorted(row.number for row in animal_rows(session))


def _fields(page: str) -> dict[str, Any]:
    found = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page)
    return {name: html.unescape(value) for name, value in found}


def test_zeros_are_asked_and_the_list_is_taken_back(browser: Browser, database: Database) -> None:
    """0412 where 412 is there is shown and waits; said to be her, she keeps her history."""
    with database.writing() as session:
        farm = farm_by_name(session, "Elm Farm", make=True)
        take_in_roster(session, farm, [RosterLine(number="412")], by="x")

    files = {"file": ("new <list>.csv", b"number;lactation\n0412;2\n7;1\n", "text/csv")}
    page = browser.post("/roster", {"farm": "Elm Farm"}, files=files).text
    assert "0412 and 412 are one number but for zeros in front" in page
    form = _fields(page) | {"column.0": "number", "column.1": "lactation", "complete": "yes"}
    page = browser.post("/roster/look", form).text
    assert "animals leave the roster" not in page
    answer = browser.post("/roster/take-in", form | {"zeros": "same"})
    assert answer.status_code == 303
    assert ["0412", "7"] == _numbers(database)

    page = browser.get("/roster").text
    assert "Elm Farm: new &lt;list&gt;.csv" in page
    assert browser.post("/roster/undo", {"farm": "Elm Farm"}).status_code == 303
    assert ["412"] == _numbers(database)
    assert "1 new animal removed" in browser.get("/roster").text


def test_a_sheet_of_animals_that_left_is_asked_about_without_a_terminals_words(
    browser: Browser,
) -> None:
    book = openpyxl.Workbook()
    book.active.title = "Sold"
    book.active.append(["Cow"])
    book.active.append([412])
    book.save(kept := io.BytesIO())
    files = {"file": ("herd.xlsx", kept.getvalue(), "application/octet-stream")}
    page = html.unescape(browser.post("/roster", {"farm": "Elm Farm"}, files=files).text)
    assert "have its animals left" in page
    assert 'name the sheet: "Sold"' in page
    assert "--sheet" not in page


def test_a_remark_with_a_word_for_leaving_is_shown_before_the_list_is_taken_in(
    browser: Browser,
) -> None:
    files = {"file": ("herd.csv", b"Vaca;Notas\n412;coja, vendida en marzo\n", "text/csv")}
    page = html.unescape(browser.post("/roster", {"farm": "Elm Farm"}, files=files).text)
    assert "412, 'coja, vendida en marzo'" in page
    assert "1 new animal<" in page


def test_past_lists_with_a_column_for_each_lesion(browser: Browser, database: Database) -> None:
    """Headings are matched and explained on the page, and the next list needs neither."""
    with database.writing() as session:
        farm = farm_by_name(session, "Elm Farm", make=True)
        take_in_roster(session, farm, [RosterLine(number="412"), RosterLine(number="413")], by="x")

    def upload(text: bytes) -> str:
        files = {"file": ("old.csv", text, "text/csv")}
        return browser.post("/past", {"farm": "Elm Farm"}, files=files).text

    page = upload(b"Cow;DD;Plork\n412;LH;\n413;;x\n")
    assert "is known to be the day" in page
    assert "--" not in html.unescape(re.sub(r"<[^>]+>|<!--.*?-->", "", page))
    form = _fields(page) | {"column.0": "number", "column.1": "each", "column.2": "each"}
    form["on"] = "2024-03-14"
    assert "is no lesion or action" in html.unescape(browser.post("/past/look", form).text)
    form["words"] = "Plork = sole ulcer"
    assert "2 rows would be added" in browser.post("/past/look", form).text
    assert 303 == browser.post("/past/take-in", form).status_code
    with database.reading() as session:
        found = {(row.animal, row.lesion, row.foot) for row in finding_rows(session)}
    assert {("412", "digital dermatitis", "LH"), ("413", "sole ulcer", None)} == found

    page = upload(b"Cow;Plork;Date\n412;RH;2025-03-14\n")
    assert "1 row would be added" in page

    page = upload(
        b"Date;Cow;Lesion;Farm\n2025-04-14;412;SU;Elm Farm\n;413;SU;Elm Farm\n;412;DD;Ash Farm\n"
    )
    form = _fields(page) | dict(_columns("date", "number", "lesion", "farm"))
    assert "is of another farm" in html.unescape(page)
    assert "1 row would be added" in browser.post("/past/look", form).text
    page = browser.post("/past/look", form | {"day_above": "yes"}).text
    assert "2 rows would be added" in page
    assert 'name="day_above" value="yes" checked' in page


def _columns(*fields: str) -> list[tuple[str, str]]:
    """As the form says which column is what."""
    return [(f"column.{at}", field) for at, field in enumerate(fields)]


def test_a_list_of_other_farms_is_not_taken_in(browser: Browser, database: Database) -> None:
    """The page says which farms it holds, and nothing is kept."""
    with database.writing() as session:
        farm_by_name(session, "Elm Farm", make=True)
    listed = b"Farm;Cow\nAsh Farm;1\nOak Farm;1\n"
    files = {"file": ("herds.csv", listed, "text/csv")}
    page = html.unescape(browser.post("/roster", {"farm": "Elm Farm"}, files=files).text)
    assert "The list holds several farms: 'Ash Farm' (1), 'Oak Farm' (1)" in page.replace(
        "“", "'"
    ).replace("”", "'")
    assert [] == _numbers(database)


def test_the_first_list_leads_back_to_the_first_steps(browser: Browser, queue: Any) -> None:
    """As long as nothing was recorded; later it shows the animals. What it would not do is not told."""
    files = {"file": ("herd.csv", b"number;lactation\n412;2\n413;1\n", "text/csv")}
    for recorded, lands in ((False, "/first-steps"), (True, "/animals?farm=1")):
        if recorded:
            queue({"animal": "412"})
        page = browser.post("/roster", {"farm": "Elm Farm"}, files=files).text
        assert "text with semicolons between the columns" in html.unescape(page)
        assert ("nothing changes" in page) == recorded
        assert "0 animals" not in page
        form = _fields(page) | {"column.0": "number", "column.1": "lactation"}
        assert browser.post("/roster/take-in", form).headers["location"] == lands


def test_a_column_that_may_say_who_left_is_pointed_at(browser: Browser, database: Database) -> None:
    """`Out` is no heading that is known: before anything is kept a person is told, and chooses."""
    files = {"file": ("herd.csv", b"number;Out\n412;x\n7;\n", "text/csv")}
    page = html.unescape(browser.post("/roster", {"farm": "Elm Farm"}, files=files).text)
    assert "'Out' may say which animals have left" in page
    form = _fields(page) | {"column.0": "number", "column.1": "left_on"}
    assert "may say which animals" not in browser.post("/roster/look", form).text
    assert 303 == browser.post("/roster/take-in", form).status_code
    with database.reading() as session:
        assert {"412": "off the roster", "7": "present"} == {
            row.number: row.status for row in animal_rows(session)
        }


def test_days_of_a_list_are_shown_as_they_were_read(browser: Browser, database: Database) -> None:
    """The month first, as 2/25 says: 3/4 is in March. What the file has stands beside it."""
    with database.writing() as session:
        farm_by_name(session, "Elm Farm", make=True)
    text = b"number;calved on;colour\n7;3/4/2024;3/4/2024\n8;2/25/2024;red\n3;2024-02-26;red\n9;tomorrow;red\n"
    files = {"file": ("new.csv", text, "text/csv")}
    page = browser.post("/roster", {"farm": "Elm Farm"}, files=files).text
    rows = {
        heading: re.findall(r"<span>(.*?)</span>(?=<span>|</td>)", cell)
        for heading, cell in re.findall(r'<th scope="row">(.*?)</th>.*?<td class="samples">(.*?)(?=</tr>)', page)
    }  # fmt: skip
    assert {heading: [re.sub(r"<[^>]+>", "", one) for one in row] for heading, row in rows.items()} == {
        "number": ["7", "8", "3", "9"],
        "calved on": ["4 Mar 2024 3/4/2024", "25 Feb 2024 2/25/2024", "26 Feb 2024", "tomorrow"],
        "colour": ["3/4/2024", "red", "red", "red"],
    }  # fmt: skip
