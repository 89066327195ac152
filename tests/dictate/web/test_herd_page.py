"""The herd picture as a page and as PDF."""

import datetime as dt
import re

from sqlmodel import select

from dictate.store.record_tables import HerdCase
from dictate.store.tables import Animal, Entry, Visit
from tests.deciding import confirm


def test_the_herd_picture_is_shown_and_printed(browser, database, queue):
    (entry,) = queue({"animal": "412", "findings": [{"lesion": "sole ulcer", "foot": "LH"}]})
    with database.writing() as session:
        confirm(session, entry, by="Robin Field")
    shown = browser.get("/farms/1/herd")
    assert "Which animals" in shown.text
    assert "1 animals" not in shown.text
    assert "1 animal<" in browser.get("/farms/1/herd/annex").text
    assert "script" not in shown.headers["content-security-policy"]
    assert browser.get("/farms/1/herd.pdf").content.startswith(b"%PDF")
    assert browser.get("/farms/9/herd").status_code == 404


def test_every_open_case_is_reached_from_the_picture_page_by_page(browser, database, queue):
    """More than the annex or a phone carries: each exactly once, those found at the most visits first."""
    (entry,) = queue({"animal": "412", "findings": [{"lesion": "sole ulcer", "foot": "LH"}]})
    with database.writing() as session:
        confirm(session, entry, by="Robin Field")
        session.add_all(
            HerdCase(
                farm_id=1, animal_id=1, name="thin sole", foot="RF", course="new", visits=1 + at % 3,
                first_on=dt.date(2020, 1, 1) + dt.timedelta(days=at), last_on=dt.date(2026, 3, 2),
            )
            for at in range(430)
        )  # fmt: skip
    assert 'href="/farms/1/herd/cases"' in browser.get("/farms/1/herd/annex").text
    shown = [
        re.findall(r'class="when" data-label="First found">(\d[^<]+)</td>', browser.get(f"/farms/1/herd/cases?turn={turn}").text)
        for turn in (1, 2, 3)
    ]  # fmt: skip
    assert [len(some) for some in shown] == [200, 200, 31]
    assert len(set(shown[0] + shown[1] + shown[2])) == 431
    assert "3 Jan 2020" in shown[0], "found at three visits"
    last = browser.get("/farms/1/herd/cases?turn=3").text
    assert "401 to 431 of 431" in last
    assert ">More<" not in last


def test_all_visits_of_an_animal_are_reached_some_to_a_page(browser, database, queue):
    queue({"animal": "412"})
    with database.writing() as session:
        note = session.exec(select(Entry)).one().note_id
        animal = session.exec(select(Animal)).first() or Animal(farm_id=1, number="412")
        session.add(animal)
        session.flush()
        for at in range(45):
            visit = Visit(farm_id=1, trimmer_id=1, date=dt.date(2020, 1, 1) + dt.timedelta(days=at))
            session.add(visit)
            session.flush()
            session.add(
                Entry(
                    note_id=note, visit_id=visit.id, position=at + 1, state="confirmed", animal_id=animal.id,
                    content={"animal": "412", "findings": [{"lesion": "sole ulcer", "foot": "LH"}]},
                )
            )  # fmt: skip
        key = animal.id
    days = [
        re.findall(r'<h3><a href="/visits/\d+">([^<]+)', browser.get(f"/animals/{key}?turn={turn}").text)
        for turn in (1, 2, 3)
    ]  # fmt: skip
    assert [len(some) for some in days] == [20, 20, 5]
    assert (days[0][0], days[2][-1]) == ("14 Feb 2020", "1 Jan 2020")
    assert len({*days[0], *days[1], *days[2]}) == 45
    assert len(browser.get(f"/animals/{key}").content) <= 200_000
    row = re.search(
        rf'<a href="/animals/{key}">412</a>.*?</tr>', browser.get("/animals?farm=1").text
    )
    assert row
    assert "14 Feb 2020" in row.group()
