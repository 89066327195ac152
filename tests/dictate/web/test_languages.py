"""The page in another language: whole, chosen in the settings, and no text of ours left in English."""

import datetime as dt
import html
import json
import re
from collections import Counter
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from babel.messages import Catalog
from babel.messages.pofile import read_po
from sqlmodel import select

from dictate import texts
from dictate.entry.values import EntryValues
from dictate.errors import SettingsError
from dictate.settings import load_settings
from dictate.store.database import Database
from dictate.store.tables import Clip, Entry, Note
from dictate.texts import grouped, written_day
from dictate.texts.collect import collected, faults, written
from dictate.web.desk import Desk
from dictate.web.filters import feet
from grammar import load_lexicon
from tests.spoken import OPEN, SHUT, Pseudo, Texts, words

from .conftest import Browser
from .walking import FARM, TRIMMER, evening, walk


@pytest.fixture(autouse=True)
def _english_afterwards() -> Iterator[None]:
    yield
    texts.choose(texts.SOURCE)


class Outside(Texts):
    """What of a page stands outside the brackets, and how many letters stand inside."""

    def __init__(self) -> None:
        super().__init__()
        self.inside = 0
        self._depth = 0

    def text(self, text: str, *, attribute: bool) -> None:
        depth = 0 if attribute else self._depth
        left = ""
        for sign in text:
            depth += {OPEN: 1, SHUT: -1}.get(sign, 0)
            if sign in (OPEN, SHUT):
                left += "|"
            elif not depth:
                left += sign
            else:
                self.inside += sign.isalpha()
        if not attribute:
            self._depth = depth
        super().text(left, attribute=attribute)


OF_THE_WALK = {
    "Cow No", "Ear Tag", "Lact", "Colour", "TT 1", "TT 2", "TT 3", "x", "red", "Cow", "Date", "Foot", "Finding", "odd word",
    "herd.csv", "zzz", "zzzz", "Elm Farm", "Oak Farm", "visit-1-2026-03-02.pdf", "trimmer", "EUR", "here", "given 1", "none",
    "M0", "M1", "M2", "M3", "M4", "M4.1", "dictate-chute-en", "soul elsie",
    "visit_id", "Visit_id", "prices", "vosk", "UTF-8", "UTF",
}  # fmt: skip
"""What the walk typed or took in, stages, and names of models, files, settings and parts of addresses."""


def _strings(value: Any) -> Iterator[str]:
    """Every string in nested values."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for one in value.values():
            yield from _strings(one)
    elif isinstance(value, list | tuple):
        for one in value:
            yield from _strings(one)


def _of_the_record(database: Database) -> Iterator[str]:
    """Names, heard words, readings, and what the checks say of them."""
    with database.reading() as session:
        for clip in session.exec(select(Clip)):
            yield from (clip.file_name, clip.sha256[:12])
        for note in session.exec(select(Note)):
            heard = [word["text"] for word in note.words]
            yield from (*heard, " ".join(heard))
        for entry in session.exec(select(Entry)):
            values = EntryValues.model_validate(entry.content)
            yield from (one.when for one in values.follow_ups)
            yield from (one.material or "" for one in values.actions)
            yield from (values.animal or "", values.remark or "")


def _of_the_lexicon() -> Iterator[str]:
    """What can be said, and the terms it means."""
    lexicon = load_lexicon()
    yield from (*lexicon.terms, *lexicon.vocabulary)


def without_data(database: Database) -> Callable[[str], str]:
    """Takes names, heard words and the grammar's own words out of a text; what is left is ours."""
    record = {one for one in _of_the_record(database) if one}
    known = {
        *record,
        *(one[0].upper() + one[1:] for one in record),
        *_of_the_lexicon(),
        *OF_THE_WALK,
        FARM,
        TRIMMER,
    }
    known |= {feet(one) for one in known}
    most = max(len(re.findall(r"\W", one)) for one in known) * 2 + 1

    @cache
    def ours(text: str) -> str:
        parts = re.findall(r"\w+(?:['’.-]\w+)*|\W", text)
        kept, at = [], 0
        while at < len(parts):
            ends = range(min(len(parts), at + most), at, -1)
            end = next((end for end in ends if "".join(parts[at:end]) in known), None)
            kept += parts[at : at + 1] if end is None else []
            at = end or at + 1
        return re.sub(r"\S*[/@]\S*|\b[A-Z0-9]{4} [A-Z0-9]{4}\b", "", "".join(kept))  # paths, a code

    return ours


def test_every_text_of_every_page_is_in_the_catalogue(tmp_path: Path) -> None:
    """Walked in a language that is made here: what stands outside the brackets is data.

    Data are names and numbers, what was heard and typed, and the ways to say a term. How readings
    and marks are said is looked at closer in tests/dictate/texts.
    """
    english: Counter[str] = Counter()
    inside = 0
    with evening(tmp_path) as (browser, desk):
        texts.speak("de", Pseudo())
        ours = without_data(desk.database)
        for name, page in walk(browser, desk):
            seen = Outside()
            seen.feed(page)
            seen.close()
            inside += seen.inside
            english.update(f"{name}: {one}" for one in seen.found if words(ours(one)))

    assert "\n".join(sorted(english)) == ""
    assert inside > 90_000


@pytest.fixture
def dutch(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A second language with a handful of texts, begun as docs/how-to/translate.md says."""
    catalogue = Catalog(locale="nl", fuzzy=False)
    catalogue.update(collected())
    for text, said in {
        "Today": "Vandaag",
        "Kept.": "Bewaard.",
        "Stop": "Stoppen",
        "no date": "geen datum",
        "%(count)s to review": "%(count)s te beoordelen",
    }.items():
        catalogue[text].string = said  # type: ignore[union-attr]
    folder = tmp_path / "texts"
    path = folder / "nl" / "LC_MESSAGES" / "messages.po"
    path.parent.mkdir(parents=True)
    path.write_bytes(written(catalogue))
    monkeypatch.setattr(texts, "FOLDER", folder)
    return path


def test_a_second_language_can_be_chosen_as_soon_as_there_is_one(
    browser: Browser, dutch: Path, desk: Desk
) -> None:
    assert texts.languages() == ["en", "nl"]
    page = browser.get("/settings").text
    assert 'lang="en"' in page
    assert '<option value="nl" lang="nl">Nederlands</option>' in page

    answer = browser.post("/settings", {"trimmer": "Robin Field", "language": "nl"})
    assert answer.status_code == 303
    page = browser.get("/settings").text
    assert '<html lang="nl">' in page
    assert "Bewaard." in page
    assert "Vandaag" in page
    assert "Who and where" in page, "what has no translation is shown in English"
    brought = re.search(r'<meta name="texts" content="([^"]*)">', page)
    assert brought
    assert json.loads(html.unescape(brought.group(1)))["Stop"] == "Stoppen"
    assert load_settings(desk.settings.home).language == "nl"
    assert written_day(dt.date(2026, 3, 2)) == "2 mrt 2026"  # CLDR's medium date for Dutch
    assert grouped(12_345) == "12.345"  # the same: a full stop between thousands

    browser.post("/settings", {"trimmer": "Robin Field", "language": "en"})
    assert '<html lang="en">' in browser.get("/settings").text


def test_english_alone_asks_for_no_language_and_brings_no_texts(browser: Browser) -> None:
    page = browser.get("/settings").text

    assert 'name="language"' not in page
    assert 'name="texts"' not in page


def test_a_language_without_a_catalogue_is_a_fault_of_the_settings(tmp_path: Path) -> None:
    (tmp_path / "settings.toml").write_text('language = "xx"\n')

    with pytest.raises(SettingsError, match="there is no catalogue for 'xx', only for en"):
        load_settings(tmp_path)


@pytest.mark.parametrize(
    ("text", "said", "fault"),
    [
        ("%(count)s to review", "%(counts)s te beoordelen", "unknown named placeholder"),
        ("%(count)s to review", "te beoordelen: %(count)d", "incompatible format"),
        ("Discard", "<b>Weg</b>", "elements such as <strong>"),
    ],
)
def test_what_does_not_fit_in_a_translation_is_named(
    dutch: Path, text: str, said: str, fault: str
) -> None:
    with dutch.open("rb") as file:
        catalogue = read_po(file)
    assert list(faults(catalogue)) == []
    catalogue[text].string = said  # type: ignore[union-attr]

    assert [one for one in faults(catalogue) if text in one and fault in one] != []
