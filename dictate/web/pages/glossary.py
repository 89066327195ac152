"""The glossary: what can be said and what it means, straight from the lexicon."""

from dataclasses import dataclass
from functools import cache

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from dictate.web.desk import TheDesk, page
from dictate.web.guard import Who
from grammar import load_lexicon

router = APIRouter()
_PARTS = {
    "LESION": "Findings",
    "FOOT": "Feet",
    "CLAW": "Claws",
    "REGION": "Regions",
    "SEVERITY": "Severity",
    "TISSUE": "Tissue",
    "COURSE": "Course",
    "OBJECT": "Foreign bodies",
    "ACTION": "What was done",
    "MATERIAL": "Materials",
    "FOLLOWUP": "Follow-ups",
    "COMMAND": "Spoken commands",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class GlossaryLine:
    """One value with the ways to say it."""

    value: str
    phrases: tuple[str, ...]


@router.get("/glossary", response_class=HTMLResponse)
def glossary(request: Request, _desk: TheDesk, _person: Who, find: str = "") -> HTMLResponse:
    """List values and phrases, all or those that hold the searched words."""
    wanted = find.lower().strip()[:60]
    found = {
        title: [line for line in lines if _holds(line, wanted)] for title, lines in _lines().items()
    }
    return page(
        request, "glossary.html", chapters={t: ls for t, ls in found.items() if ls}, find=find[:60]
    )


def _holds(line: GlossaryLine, wanted: str) -> bool:
    return (
        not wanted or wanted in line.value.lower() or any(wanted in said for said in line.phrases)
    )


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
