"""A walk over every page of a record that has something to show on each of them."""

import datetime as dt
import html
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from fastapi.testclient import TestClient
from sqlmodel import col, select

from dictate.review.learning import teach
from dictate.settings import Settings
from dictate.store.database import Database, open_database
from dictate.store.states import EntryState
from dictate.store.tables import Entry, Visit
from dictate.web.app import create_app
from dictate.web.desk import Desk
from dictate.web.gate import Gate
from tests.browser.evening import DAY, FARM, TRIMMER, forty_notes, put_evening
from tests.deciding import confirm_unmarked

from .conftest import HERE, Browser

ROSTER = b"Cow No;Ear Tag;Lact;Colour\n901;TT 1;2;red\n902;TT 2;x;black\n0412;TT 3;1;red\n"
PAST = b"Cow;Date;Foot;Finding\n412;03/04/2025;LH;sole ulcer\n999;04/04/2025;RH;odd word\n"


@contextmanager
def evening(home: Path) -> Iterator[tuple[Browser, Desk]]:
    """A browser in front of an evening that waits for review, and the page's desk."""
    settings = Settings(
        home=home, trimmer=TRIMMER, farm=FARM, prices={"block": "18.50"}, currency="EUR"
    )
    with open_database(settings.database_url) as database:
        visit_id = put_evening(database, settings, forty_notes())
        with database.writing() as session:
            visit = session.get_one(Visit, visit_id)
            teach(session, visit.trimmer_id, "soul elsie", "sole ulcer", by=TRIMMER)
        desk = Desk(
            database=database,
            settings=settings,
            gate=Gate(TRIMMER, clock=lambda: 1000.0),
            open_engine=lambda _roster: None,  # type: ignore[arg-type, return-value]
            today=lambda: DAY,
        )
        with TestClient(create_app(desk), base_url=HERE, follow_redirects=False) as client:
            client.get(f"/enter?token={desk.gate.link_token}")
            found = re.search(r'name="csrf" value="([^"]+)"', client.get("/settings").text)
            yield Browser(client=client, csrf=found.group(1) if found else ""), desk


def addresses(database: Database) -> list[str]:
    """Every page that is opened by an address."""
    with database.reading() as session:
        entries = session.exec(select(Entry).order_by(col(Entry.id))).all()
    done = next(
        one
        for one in entries
        if one.state == EntryState.CONFIRMED
        and one.content["actions"]
        and one.content["follow_ups"]
    )
    waiting = [one.id for one in entries if one.state == EntryState.WAITING]
    first = waiting[0]
    return [
        "/", "/?farm=1", "/first-steps", "/record", "/hearing", "/glossary", "/glossary?find=block", "/glossary?find=zzz",
        "/visits/1", "/visits/1?find=zzz", "/visits/1/unmarked", "/visits/1/left-aside", "/visits/1/waiting?shown=3",
        "/visits/1/waiting?shown=99", "/visits/1/queue", *[f"/visits/1/queue?entry={one}" for one in waiting],
        f"/entries/{done.id}", f"/entries/{first}", f"/entries/{first}/fix", f"/entries/{done.id}/fix",
        *[f"/entries/{one}/fix?at=typed" for one in waiting],
        f"/entries/{first}/number", f"/entries/{first}/number?begins=4", f"/entries/{first}/number?begins=999",
        *[f"/entries/{one}/number" for one in waiting],
        *[f"/entries/{one}/words" for one in waiting], f"/entries/{first}/words?room=true&typed=w",
        f"/entries/{first}/words?typed=zzzz", f"/entries/{first}/words?at=99",
        "/animals", "/animals?show=due", "/animals?find=zzz", f"/animals/{done.animal_id}",
        "/follow-ups", "/follow-ups?span=all", "/follow-ups?span=all&farm=1", "/herd", "/herd?span=own", "/herd?span=all",
        "/bill", "/bill/1", "/bill/1?written=true", "/farms", "/farms/1", "/roster", "/past",
        "/voice", "/voice/read", "/voice/learning", "/learnt",
        "/settings", "/settings/hearing", "/settings/hearing/measured", "/settings/safe", "/settings/phone", "/settings/microphone",
        "/visits/1/sheet", "/farms/1/herd",
        "/entries/99999", "/nothing-here", "/visits/x",
    ]  # fmt: skip


def _fields(page: str) -> dict[str, Any]:
    found = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page)
    return {name: html.unescape(value) for name, value in found}


def walk(browser: Browser, desk: Desk) -> Iterator[tuple[str, str]]:
    """Each page with what it is, as HTML; pages that only a form opens come last."""
    yield "unmarked", browser.get("/visits/1/unmarked").text
    with desk.database.writing() as session:
        confirm_unmarked(session, 1, by=TRIMMER)
    for path in addresses(desk.database):
        yield path, browser.get(path).text
    yield from _lists(browser)
    yield from _faults(browser)
    yield from _acts(browser, desk)


def _lists(browser: Browser) -> Iterator[tuple[str, str]]:
    file = {"file": ("herd.csv", ROSTER, "text/csv")}
    page = browser.post("/roster", {"farm": FARM}, files=file).text
    yield "roster: matching", page
    form = _fields(page) | {"column.0": "number", "column.1": "ear_tag", "column.2": "lactation"}
    yield "roster: look", browser.post("/roster/look", form).text
    yield "roster: whole", browser.post("/roster/look", form | {"complete": "yes"}).text
    form["column.2"] = ""
    yield "roster: leave", browser.post("/roster/look", form | {"complete": "yes"}).text
    browser.post("/roster/take-in", form | {"zeros": "same"})
    yield "roster: taken in", browser.get("/roster").text
    file = {"file": ("past.csv", PAST, "text/csv")}
    page = browser.post("/past", {"farm": FARM}, files=file).text
    yield "past: matching", page
    form = _fields(page) | {
        "column.0": "number", "column.1": "date", "column.2": "foot", "column.3": "lesion",
    }  # fmt: skip
    yield "past: look", browser.post("/past/look", form).text
    browser.post("/past/take-in", form | {"dates": "day-first"})
    yield "past: taken in", browser.get("/past").text


def _faults(browser: Browser) -> Iterator[tuple[str, str]]:
    yield (
        "settings: a fault",
        browser.post("/settings", {"trimmer": "R", "price.block": "much"}).text,
    )
    yield "follow-ups: none chosen", browser.post("/follow-ups", {"do": "done", "span": "all"}).text
    yield "safe: no folder", browser.post("/settings/safe/back-up", {"folder": "here"}).text
    yield (
        "measure: no folder",
        browser.post("/settings/hearing/measure", {"folder": "/nowhere"}).text,
    )
    yield "farm without a name", browser.post("/farms", {"name": " "}).text


def _acts(browser: Browser, desk: Desk) -> Iterator[tuple[str, str]]:
    """What is said after a change."""
    folder = desk.settings.home.parent / "stick"
    folder.mkdir(exist_ok=True)
    before = (dt.date(2026, 3, 9)).isoformat()
    for name, path, form in (
        ("back up", "/settings/safe/back-up", {"folder": str(folder), "sound": "true"}),
        ("look over", "/settings/safe/look-over", {}),
        ("would go", "/settings/safe/forget", {"before": before}),
        ("add a farm", "/farms", {"name": "Elm Farm"}),
        ("rename a farm", "/farms/1/name", {"name": "Oak Farm"}),
        ("a name twice", "/farms/1/name", {"name": "Elm Farm"}),
        ("whole herd", "/visits/1/whole-herd", {"whole_herd": "yes"}),
        ("status", "/animals/1/status", {"status": "sold"}),
        ("mail", "/bill/1/mail", {}),
        ("forget", "/learnt/1/forget", {}),
        ("teach", "/learnt/teach", {"phrase": "strawberry foot", "means": "digital dermatitis"}),
        ("phone", "/settings/phone/open", {}),
        ("undo", "/undo", {}),
    ):
        answer = browser.post(path, form)
        if "location" in answer.headers:
            answer = browser.get(answer.headers["location"])
        yield f"after: {name}", answer.text
    desk.phones.close()
    for path in ("/learnt", "/farms", "/", "/bill", "/animals", "/follow-ups", "/herd"):
        yield f"after: {path}", browser.get(path).text
