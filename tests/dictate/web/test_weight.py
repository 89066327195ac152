"""What a page weighs, with everything it loads: phones in a barn have little to spare."""

import datetime as dt
import re

import pytest
from fastapi.responses import HTMLResponse
from fastapi.routing import APIRoute

from dictate.store.record_tables import FollowUp
from dictate.store.tables import Animal
from dictate.web.pages import PAGES

MOST_BYTES = 300_000
ULCER = {
    "findings": [
        {"foot": "LH", "claw": "outer", "zone": zone, "lesion": "sole ulcer"}
        for zone in range(1, 7)
    ]
}
PATHS = ["/", "/visits/1", "/visits/1/queue", "/visits/1/unmarked", "/visits/1/left-aside", "/visits/1/sheet",
         "/entries/1", "/entries/1/fix", "/entries/1/number", "/entries/1/words", "/animals", "/animals/1",
         "/follow-ups", "/herd", "/farms/1/herd", "/farms/1/herd/annex", "/farms/1/herd/cases", "/bill", "/bill/1", "/farms", "/farms/1", "/roster", "/past", "/first-steps",
         "/record", "/settings", "/settings/hearing", "/settings/safe", "/settings/phone", "/settings/microphone",
         "/learnt", "/voice", "/voice/read", "/glossary"]  # fmt: skip
PARTS = {"/hearing", "/settings/hearing/measured", "/visits/{visit_id}/waiting", "/entries/{entry_id}/words/offered",
         "/farms/{farm_id}/numbers", "/pair", "/voice/learning"}  # fmt: skip
"""Parts of pages that are fetched into them, and the page before one is let in."""


@pytest.mark.parametrize("path", PATHS)
def test_no_page_weighs_more_than_300_kb(browser, queue, path):
    """The page with its styles and scripts, uncompressed; sixty cards wait, each with six findings."""
    queue(*(ULCER | {"animal": str(400 + at)} for at in range(60)))
    text = browser.get(path).text
    loaded = set(re.findall(r'(?:src|href)="(/static/[^"]+)"', text))
    assert len(loaded) >= 5 or path.endswith(("/sheet", "/herd", "/annex")), "a sheet is one file"
    weight = len(text.encode()) + sum(len(browser.get(one).content) for one in loaded)
    assert weight <= MOST_BYTES, f"{path}: {weight} bytes"


def test_the_longest_list_of_what_is_due_weighs_no_more(browser, queue, database):
    """A thousand lines: a page shows some of them and leads to the rest."""
    queue(*({"animal": str(400 + at)} for at in range(20)))
    with database.writing() as session:
        animals = [Animal(farm_id=1, number=str(at), on_roster=True) for at in range(1000)]
        session.add_all(animals)
        session.flush()
        session.add_all(
            FollowUp(
                entry_id=1, animal_id=one.id, visit_id=1, farm_id=1, date=dt.date(2026, 3, 2), position=0,
                kind="look again", due_on=dt.date(2026, 3, 9), said_when="in a week",
            )
            for one in animals
        )  # fmt: skip
    text = browser.get("/follow-ups?span=all").text
    assert "1 to 200 of 1000" in text
    assert len(text.encode()) <= MOST_BYTES / 2
    last = browser.get("/follow-ups?span=all&turn=5").text
    assert "801 to 1000 of 1000" in last
    assert "Later" not in last


def test_every_page_is_weighed():
    """A new page is added above, so that nobody forgets what phones have to carry."""
    pages = {
        route.path
        for module in PAGES
        for route in module.router.routes
        if isinstance(route, APIRoute)
        and "GET" in route.methods
        and route.response_class is HTMLResponse
    }
    weighed = {re.sub(r"/\{\w+\}", "/1", path) for path in pages - PARTS}
    assert weighed == set(PATHS)
