"""The page's protections, tried from outside."""

import re
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

import dictate.web
from dictate.web.gate import Gate

from .conftest import Browser

PAGES = (
    "/",
    "/animals",
    "/follow-ups",
    "/roster",
    "/record",
    "/learnt",
    "/voice",
    "/voice/read",
    "/settings",
    "/glossary",
)
WEB = Path(dictate.web.__file__).parent


@pytest.mark.parametrize(
    "path", [*PAGES, "/visits/1/queue", "/entries/1", "/clips/1/sound", "/openapi.json"]
)
def test_a_stranger_sees_nothing(stranger: TestClient, path: str) -> None:
    assert stranger.get(path).status_code == 401


@pytest.mark.parametrize("path", PAGES)
def test_every_page_opens_for_who_was_let_in(browser: Browser, path: str) -> None:
    answer = browser.get(path)
    assert answer.status_code == 200
    assert "text/html" in answer.headers["content-type"]


def test_the_cookie_is_closed_to_scripts_and_other_sites(stranger: TestClient, gate: Gate) -> None:
    header = stranger.get(f"/enter?token={gate.link_token}").headers["set-cookie"].lower()
    assert "httponly" in header
    assert "samesite=strict" in header


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "192.168.1.7", ""])
def test_a_foreign_host_name_is_refused(browser: Browser, host: str) -> None:
    assert browser.get("/", headers={"host": host}).status_code == 400


def test_a_post_without_token_changes_nothing(browser: Browser) -> None:
    answer = browser.client.post("/settings", data={"trimmer": "Mallory"})
    assert answer.status_code == 403
    assert "Mallory" not in browser.get("/settings").text


def test_a_post_with_another_sessions_token_is_refused(browser: Browser, gate: Gate) -> None:
    other = gate.person(gate.enter(gate.link_token))
    assert other is not None
    answer = browser.client.post("/settings", data={"csrf": other.csrf, "trimmer": "Mallory"})
    assert answer.status_code == 403


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "https://evil.example"},
        {"origin": "http://127.0.0.1:1"},
        {"origin": "null"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_a_post_from_another_origin_is_refused_even_with_the_token(
    browser: Browser, headers: dict[str, str]
) -> None:
    assert browser.post("/settings", {"trimmer": "Mallory"}, headers=headers).status_code == 403


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_other_methods_are_refused(browser: Browser, method: str) -> None:
    assert browser.client.request(method, "/settings").status_code == 405


def test_a_form_that_is_too_large_is_refused(browser: Browser) -> None:
    assert browser.post("/settings", {"trimmer": "x" * 300_000}).status_code == 413


def test_a_body_larger_than_it_says_is_refused(browser: Browser) -> None:
    def endless():
        for _ in range(40):
            yield b"trimmer=" + b"x" * 10_000 + b"&"

    answer = browser.client.post(
        "/settings",
        content=endless(),
        headers={"content-type": "application/x-www-form-urlencoded", "x-csrf-token": browser.csrf},
    )
    assert answer.status_code == 413


def test_headers_forbid_inline_script_frames_and_referrers(browser: Browser) -> None:
    headers = browser.get("/").headers
    policy = dict(
        part.strip().split(" ", 1) for part in headers["content-security-policy"].split(";")
    )
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == "'self'"
    assert policy["style-src"] == "'self'"
    assert policy["frame-ancestors"] == "'none'"
    assert "unsafe" not in headers["content-security-policy"]
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert headers["cache-control"] == "no-store"


def test_the_link_holds_only_on_this_computer(desk, gate: Gate) -> None:
    from dictate.web.app import create_app

    with TestClient(
        create_app(desk), base_url="http://127.0.0.1", client=("192.168.1.9", 5000)
    ) as phone:
        assert phone.get(f"/enter?token={gate.link_token}").status_code == 403


def test_pairing_answers_too_many_tries_with_429(stranger: TestClient) -> None:
    codes = [stranger.post("/pair", data={"code": "WRONGONE"}).status_code for _ in range(6)]
    assert codes == [403] * 5 + [429]


def test_pairing_lets_a_phone_in_under_its_own_name(stranger: TestClient, gate: Gate) -> None:
    answer = stranger.post("/pair", data={"code": gate.new_code(), "name": "Kim <b>"})
    assert answer.status_code == 200
    page = stranger.get("/").text
    assert "Kim &lt;b&gt;" in page
    assert "Kim <b>" not in page


def test_an_unknown_field_in_a_form_is_refused(stranger: TestClient) -> None:
    assert stranger.post("/pair", data={"code": "A", "admin": "1"}).status_code == 422


@pytest.mark.parametrize(
    "path",
    ["/static/../gate.py", "/static/%2e%2e/gate.py", "/static/..%2fgate.py", "/static//etc/passwd"],
)
def test_static_files_cannot_be_left(stranger: TestClient, path: str) -> None:
    assert stranger.get(path).status_code in (401, 404)


def test_templates_fetch_nothing_and_hold_no_inline_script_or_style() -> None:
    for template in (WEB / "templates").glob("*.html"):
        text = template.read_text(encoding="utf-8")
        assert not re.search(r"https?://", text), template.name
        assert not re.search(r"\son\w+\s*=", text), template.name
        assert not re.search(r"\sstyle\s*=|<style", text), template.name
        assert not re.search(r"<script(?![^>]*\ssrc=)", text), template.name
        assert "hx-on" not in text and "javascript:" not in text, template.name


def test_every_form_that_posts_carries_the_token() -> None:
    for template in (WEB / "templates").glob("*.html"):
        text = template.read_text(encoding="utf-8")
        for form in re.findall(r"<form[^>]*method=\"post\".*?</form>", text, re.DOTALL):
            assert "hidden(" in form or template.name == "pair.html", template.name


def test_only_get_routes_change_nothing() -> None:
    """Every page module writes only in functions that answer POST."""
    for module in (WEB / "pages").glob("*.py"):
        for chunk in module.read_text(encoding="utf-8").split("\n@router.")[1:]:
            if chunk.startswith("get"):
                body = chunk.split("\n\n\n")[0]
                assert ".writing()" not in body, module.name


def test_the_vendored_script_comes_with_its_licence() -> None:
    assert "Zero-Clause BSD" in (WEB / "static/htmx.LICENSE.txt").read_text(encoding="utf-8")
