"""Pictures of the pages for the docs, made where `$DICTATE_PICTURES` says (`docs/pictures`)."""

import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from tests.deciding import confirm_unmarked

from .conftest import Running, Tab
from .test_evening import entry_of

PICTURES = os.environ.get("DICTATE_PICTURES", "")
PAGES = Path(__file__).parents[2] / "docs" / "reference" / "pages.md"
COLOURS = 64
"""Flat colours: so few are enough, and keep the repository small."""


@pytest.mark.skipif(not PICTURES, reason="pictures are made when $DICTATE_PICTURES says where")
def test_pictures_of_the_pages(running: Running, tab: Callable[..., Tab], tmp_path: Path) -> None:
    out = Path(PICTURES)
    out.mkdir(parents=True, exist_ok=True)
    visit = running.visit_id
    at = tab(viewport={"width": 1180, "height": 720})

    def shoot(name: str, path: str, page: Any = at.page, given: Path | None = None) -> None:
        page.goto(running.url + path)
        if given:
            at.look_at(given)
            page.wait_for_selector("h2 >> text=What it would do")
        page.wait_for_load_state("load")
        file = out / f"{name}.png"
        page.screenshot(path=file, full_page=given is not None)
        Image.open(file).convert("RGB").quantize(COLOURS).save(file, optimize=True)

    shoot("today", "/")
    shoot("card", f"/visits/{visit}/queue?entry={entry_of(running, '538').id}")
    shoot("together", f"/visits/{visit}/unmarked")
    shoot("words", f"/entries/{entry_of(running, '601').id}/words")
    phone = tab(viewport={"width": 390, "height": 780}, has_touch=True)
    shoot("card-phone", f"/visits/{visit}/queue?entry={entry_of(running, '118').id}", phone.page)
    with running.database.writing() as session:
        confirm_unmarked(session, visit, by="Robin Field")
    for name, path in {
        "visit": f"/visits/{visit}", "animal": f"/animals/{entry_of(running, '118').animal_id}",
        "animals": "/animals", "due": "/follow-ups?span=all", "herd": "/herd", "bill": f"/bill/{visit}",
        "farms": "/farms", "first-steps": "/first-steps", "record": "/record", "settings": "/settings",
        "safe": "/settings/safe", "hearing": "/settings/hearing", "phone": "/settings/phone",
        "microphone": "/settings/microphone", "voice": "/voice", "voice-read": "/voice/read", "learnt": "/learnt",
        "glossary": "/glossary", "farm": "/farms/1", "roster": "/roster", "past": "/past", "bills": "/bill",
        "sheet": f"/visits/{visit}/sheet", "herd-picture": "/farms/1/herd", "herd-annex": "/farms/1/herd/annex",
        "open-cases": "/farms/1/herd/cases", "entry": f"/entries/{entry_of(running, '118').id}",
        "fix": f"/entries/{entry_of(running, '538').id}/fix", "number": f"/entries/{entry_of(running, '538').id}/number",
    }.items():  # fmt: skip
        shoot(name, path)
    for name, path, text in (
        ("roster-match", "/roster", "Cow No;Ear Tag;Lact;Colour\n901;TT 1;2;red\n902;TT 2;x;black\n"),
        ("past-match", "/past", "Date,Cow,Lesion,Foot\n2025-03-03,412,plork,LH\n2025-03-03,101,sole ulcer,RH\n"),
    ):  # fmt: skip
        (tmp_path / f"{name}.csv").write_text(text)
        shoot(name, path, given=tmp_path / f"{name}.csv")
    shown = set(re.findall(r"pictures/(.+)\.png", PAGES.read_text()))
    assert {path.stem for path in out.glob("*.png")} == shown
