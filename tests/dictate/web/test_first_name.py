"""Notes taken in before the settings said a name belong to the name that is given then."""

from sqlmodel import select

from dictate.settings import UNNAMED
from dictate.sheets.visit_sheet import load_visit_sheet
from dictate.store.tables import Trimmer
from dictate.store.visits import visit_by_id


def test_the_first_name_is_that_of_earlier_visits(browser, database, queue) -> None:
    def on_the_sheet() -> str:
        with database.reading() as session:
            return load_visit_sheet(session, visit_by_id(session, 1)).trimmer

    queue({"animal": "412"})
    with database.writing() as session:
        session.exec(select(Trimmer)).one().name = UNNAMED
    assert on_the_sheet() == ""

    browser.post("/first-steps", {"trimmer": "Kim Moor", "farm": ""})
    assert on_the_sheet() == "Kim Moor"

    browser.post("/first-steps", {"trimmer": "Pat Muster", "farm": ""})
    assert on_the_sheet() == "Kim Moor", "a name that was given once stays with its visits"
