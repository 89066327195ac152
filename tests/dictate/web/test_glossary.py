"""Every term that a page links to the glossary has a meaning there."""

import re
from pathlib import Path
from urllib.parse import quote

import pytest

from dictate.entry.terms import NO_LESION, STAGES
from dictate.review.written_changes import terms_of
from grammar import load_lexicon

WEB = Path(__file__).parents[3] / "dictate" / "web"
LINKED = sorted({
    *load_lexicon().lesions, *terms_of("ACTION").values(), *terms_of("FOLLOWUP").values(),
    *STAGES, NO_LESION, "zone", "locomotion score",
})  # fmt: skip
UNSAID = {"other"}
"""Lesions that are what the speaker calls them."""


@pytest.mark.parametrize("term", LINKED)
def test_a_term_that_is_linked_has_a_meaning(browser, term):
    text = browser.get(f"/glossary?find={quote(term)}").text
    meanings = re.findall(r"<dt>([^<]*)</dt>", text)
    assert meanings or term in UNSAID, f"docs/glossary.md says nothing of {term}"


def test_a_search_shows_every_way_to_say_a_value_and_the_page_itself_only_some(browser):
    assert "raspberry heel" in browser.get("/glossary?find=digital dermatitis").text
    assert re.search(r"\d+ more<span", browser.get("/glossary").text)
    assert "Nothing here is called" in browser.get("/glossary?find=plork").text


def test_terms_stand_in_links_made_by_the_one_macro():
    """So that a term is linked in one way: no other template writes such an address."""
    for template in (WEB / "templates").glob("*.html"):
        links = re.findall(r'href="/glossary\?find=', template.read_text(encoding="utf-8"))
        assert not links or template.name in {"_parts.html", "glossary.html"}, template.name
