"""The glossary: what the words mean here, and every way to say a value, straight from the lexicon."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from dictate.texts import noted
from dictate.texts.below import told
from dictate.texts.glossary import read_glossary
from dictate.web.desk import TheDesk, page
from dictate.web.guard import Who
from grammar import load_lexicon

router = APIRouter()
_SOME, _ALL = 8, 10_000
"""Ways to say a value that are shown: of everything, and of what was searched for."""
_PARTS = {
    "LESION": noted("Findings"),
    "FOOT": noted("Feet"),
    "CLAW": noted("Claws"),
    "REGION": noted("Regions"),
    "SEVERITY": noted("Severity"),
    "TISSUE": noted("Tissue"),
    "COURSE": noted("Course"),
    "OBJECT": noted("Foreign bodies"),
    "ACTION": noted("What was done"),
    "MATERIAL": noted("Materials"),
    "FOLLOWUP": noted("Follow-ups"),
    "COMMAND": noted("Spoken commands"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class GlossaryLine:
    """One value with the ways to say it."""

    value: str
    phrases: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """A word, or words that belong together, and what is meant by them here."""

    words: str
    meaning: str
    word: str
    """The words in English, by which pages look them up."""


@router.get("/glossary", response_class=HTMLResponse)
def glossary(request: Request, _desk: TheDesk, _person: Who, find: str = "") -> HTMLResponse:
    """Meanings and ways to say: some of everything, or all of what holds the searched words."""
    wanted = find.lower().strip()[:60]
    meanings = {
        told(title): [one for one in some if _means(one, wanted)] for title, some in _meanings()
    }
    found = {
        title: [line for line in lines if _holds(line, wanted)] for title, lines in _lines().items()
    }
    return page(
        request,
        "glossary.html",
        meanings={title: some for title, some in meanings.items() if some},
        chapters={title: lines for title, lines in found.items() if lines},
        most=_ALL if wanted else _SOME,
        find=find[:60],
    )


def _means(one: Meaning, wanted: str) -> bool:
    """The word itself, also one of several that share their first words: `white line disease, fissure`."""
    words = f"{one.words} {one.word}".lower()
    return wanted in words or (bool(wanted) and all(part in words for part in wanted.split()))


def _holds(line: GlossaryLine, wanted: str) -> bool:
    return (
        not wanted
        or wanted in f"{line.value} {told(line.value)}".lower()
        or any(wanted in said for said in line.phrases)
    )


def _meanings() -> Iterator[tuple[str, list[Meaning]]]:
    """The tables of the docs' glossary, which come with the program."""
    for title, meanings in read_glossary(_text()).items():
        some = [
            Meaning(words=told(word), meaning=told(meaning), word=word)
            for word, meaning in meanings
        ]
        yield title, some


@cache
def _text() -> str:
    here = Path(__file__).parents[1]
    for path in (here / "glossary.md", here.parents[1] / "docs" / "glossary.md"):
        if path.is_file():
            return path.read_text(encoding="utf-8")
    return ""


@cache
def _lines() -> dict[str, list[GlossaryLine]]:
    found: dict[str, dict[str, list[str]]] = {title: {} for title in _PARTS.values()}
    for term in load_lexicon().terms.values():
        title = _PARTS.get(term.tag)
        if title is None or term.meant:
            continue
        value = term.value if isinstance(term.value, str) else ", ".join(term.value)
        found[title].setdefault(value, []).append(term.phrase)
    return {
        title: [GlossaryLine(value=value, phrases=tuple(said)) for value, said in lines.items()]
        for title, lines in found.items()
    }
