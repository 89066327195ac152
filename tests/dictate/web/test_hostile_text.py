"""Spoken remarks, roster names and odd requests on the page: text stays text, and nothing breaks."""

import random

import pytest

from dictate.store.tables import Animal

EVIL = "<img src=x onerror=alert(1)>\"'><script>alert(2)</script>"


@pytest.fixture
def hostile(database, queue) -> list[int]:
    ids = queue({
        "animal": "412",
        "remark": EVIL,
        "findings": [{"foot": "LH", "lesion": "sole ulcer", "heard": EVIL}],
    })  # fmt: skip
    with database.writing() as session:
        session.add(Animal(farm_id=1, number="412", name=EVIL, ear_tag=EVIL[:30], on_roster=True))
    return ids


def _paths(browser) -> list[str]:
    """Every page that is opened with GET; numbers in it become 1."""
    import re

    found = {route.path for route in _routes(browser.client.app) if "GET" in (route.methods or ())}
    return sorted(
        re.sub(r"\{[^}]+\}", "1", path) for path in found if not path.startswith("/static")
    )


def _routes(app):
    for route in app.routes:
        if hasattr(route, "methods"):
            yield route
        for inner in getattr(getattr(route, "original_router", None), "routes", ()):
            if hasattr(inner, "methods"):
                yield inner


def test_what_was_said_is_never_markup(browser, hostile) -> None:
    """No page shows the remark, the heard words or a roster name as markup; at least one shows them."""
    shown = 0
    for path in _paths(browser):
        answer = browser.get(path)
        if "text/html" not in answer.headers.get("content-type", ""):
            continue
        assert "<img src=x" not in answer.text, path
        assert "<script>alert" not in answer.text, path
        shown += "&lt;img src=x" in answer.text
    assert shown


def test_no_header_comes_out_of_a_parameter(browser) -> None:
    """A line break in an address never becomes a header."""
    for path in (
        "/entries/1%0d%0aX-Evil:%201",
        "/?back=%0d%0aX-Evil:%201",
        "/visits/%0d%0aX-Evil:%201/sheet",
    ):
        answer = browser.get(path)
        assert "x-evil" not in answer.headers
        assert answer.status_code < 500


@pytest.mark.filterwarnings("ignore")
def test_odd_requests_break_nothing(browser, hostile) -> None:
    """Any path and form of the page's own routes with odd values: an answer, never a crash."""
    rng = random.Random(20260302)
    odd = (
        "",
        "0",
        "-1",
        "1",
        "99999999999999999999",
        "1e9",
        "nan",
        "\x00",
        "..%2f..%2fetc",
        EVIL,
        "é" * 300,
        "2026-13-45",
        "\u0663",
    )
    tried = 0
    for route in _routes(browser.client.app):
        for _ in range(4):
            path = route.path
            while "{" in path:
                at, end = path.index("{"), path.index("}")
                path = (
                    path[:at]
                    + rng.choice(odd).replace("/", "").replace("\x00", "%00").replace("?", "")
                    + path[end + 1 :]
                )
            fields = {
                name: rng.choice(odd)
                for name in rng.sample(
                    ("animal", "version", "reason", "remark", "date", "q", "farm"), 3
                )
            }
            for method in sorted(set(route.methods or ()) & {"GET", "POST"}):
                answer = (
                    browser.get(path, params=fields)
                    if method == "GET"
                    else browser.post(path, fields)
                )
                assert answer.status_code < 500, (method, path, fields)
                tried += 1
    assert tried > 50
