"""Animals: finding one, and its history: open cases, what is due, each foot over the visits."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Annotated

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from markupsafe import Markup
from pydantic import Field
from sqlmodel import Session

from dictate.entry.terms import FEET, NO_LESION
from dictate.entry.values import ActionValues, EntryValues, FindingValues
from dictate.entry.wording import say_entry, say_place
from dictate.sheets.claw_map import claw_map
from dictate.store.animal_search import (
    animal_at,
    confirmed_entries,
    joined_to,
    last_seen,
    numbers_like,
    search_animals,
)
from dictate.store.farms import farm_at
from dictate.store.herd import open_cases
from dictate.store.record_queries import Scope, farm_rows, follow_up_rows
from dictate.store.states import AnimalStatus
from dictate.texts import gettext, noted, translated
from dictate.web.desk import TheDesk, page
from dictate.web.guard import Who
from dictate.web.showing import farm_asked

if TYPE_CHECKING:
    from dictate.store.tables import Animal

router = APIRouter()
_EACH = 60
Turn = Annotated[int, Field(ge=1, le=10_000)]
_VISITS = 20
"""Visits of an animal on a page, each with its claws drawn."""
_NUMBERS = 12
_COLUMNS = {
    "name": noted("Name"),
    "ear_tag": noted("Ear tag"),
    "eid": noted("Electronic number"),
    "lactation": noted("Lactation"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Foot:
    """One foot at one visit."""

    drawn: Markup
    words: tuple[str, ...]
    """Lesions and what was done, or that it was clean; empty when nothing was said of it."""


@dataclass(slots=True, kw_only=True)
class Past:
    """One visit to an animal."""

    visit_id: int
    date: dt.date
    said: list[tuple[int, str]] = field(default_factory=list)
    """Entry and its sentence."""
    values: list[EntryValues] = field(default_factory=list)

    @property
    def feet(self) -> list[Foot]:
        """The four feet; none when no foot was named at this visit."""
        findings = [one for values in self.values for one in values.findings]
        actions = [one for values in self.values for one in values.actions]
        if not any(one.foot for one in findings) and not any(one.foot for one in actions):
            return []
        return [self._foot(foot, findings, actions) for foot in FEET]

    def _foot(
        self, foot: str, findings: Sequence[FindingValues], actions: Sequence[ActionValues]
    ) -> Foot:
        found = [one for one in findings if one.foot == foot]
        done = [one for one in actions if one.foot == foot]
        words = [_lesion_words(one) for one in found] + [_done_words(one) for one in done]
        drawn = claw_map(
            found,
            done,
            title=f"{foot} on {self.date}",
            key=f"foot-{self.visit_id}-{foot}",
            small=True,
            feet=(foot,),
        )
        return Foot(drawn=Markup(drawn), words=tuple(dict.fromkeys(words)))  # noqa: S704 (escaped there)


def _lesion_words(one: FindingValues) -> str:
    if one.lesion == NO_LESION:
        return gettext("clean")
    lesion = " ".join(part for part in (translated(one.lesion), one.stage) if part)
    place = say_place(None, one.claw, one.zone)
    more = (translated(part) for part in (one.severity, one.course) if part)
    return ", ".join(part for part in (lesion, place, *more) if part)


def _done_words(one: ActionValues) -> str:
    return " ".join(translated(part) for part in (one.kind, one.claw) if part)


@router.get("/animals", response_class=HTMLResponse)
def animals(
    request: Request, desk: TheDesk, _person: Who, farm: str = "", find: str = "", show: str = "",
    turn: int = 1, go: bool = False,
) -> Response:  # fmt: skip
    """Animals of a farm by number, or those whose number, tag or name holds what is searched."""
    wanted = find.strip()[:40]
    with desk.database.reading() as session:
        farms = farm_rows(session)
        at = farm_asked(farms, farm, desk.settings.farm)
        first = (max(turn, 1) - 1) * _EACH
        found = search_animals(session, at.id, find=wanted, show=show, first=first, most=_EACH + 1) if at else []  # fmt: skip
        seen = last_seen(session, [one.id for one in found])
        exact = [one.id for one in found if go and one.number == wanted]
    if exact:
        return RedirectResponse(f"/animals/{exact[0]}", status_code=303)
    shown = found[:_EACH]
    columns = [(name, gettext(title)) for name, title in _COLUMNS.items() if any(getattr(one, name) is not None for one in shown)]  # fmt: skip
    return page(
        request,
        "animals.html",
        farms=farms,
        at=at,
        find=wanted,
        show=show,
        animals=shown,
        columns=columns,
        seen=seen,
        any_status=any(one.status != AnimalStatus.PRESENT or not one.on_roster for one in shown),
        turn=max(turn, 1),
        more=len(found) > _EACH,
    )


@router.get("/animals/{animal_id}", response_class=HTMLResponse)
def animal(
    request: Request, desk: TheDesk, _person: Who, animal_id: int, turn: Turn = 1
) -> HTMLResponse:
    """One animal: open cases and what is due first, then visit by visit, newest first."""
    with desk.database.reading() as session:
        found = animal_at(session, animal_id)
        farm = farm_at(session, found.farm_id)
        due = follow_up_rows(session, Scope(animal_id=found.id), open_only=True)
        past, visits = _past(session, found, turn)
        return page(
            request,
            "animal.html",
            animal=found,
            farm=farm,
            past=past,
            turn=turn,
            more=visits > turn * _VISITS,
            cases=open_cases(session, farm, animal_id=found.id),
            due=due,
            feet=FEET,
            joined=joined_to(session, found.id),
            statuses=list(AnimalStatus),
        )


@router.get("/farms/{farm_id}/numbers", response_class=HTMLResponse)
def numbers(
    request: Request, desk: TheDesk, _person: Who, farm_id: int, animal: str = ""
) -> HTMLResponse:
    """Numbers of a farm that begin with, or hold, what was typed so far."""
    typed = animal.strip()[:20]
    with desk.database.reading() as session:
        found = numbers_like(session, farm_id, typed, most=_NUMBERS)
    return page(request, "numbers.html", numbers=found)


def _past(session: Session, animal: "Animal", turn: int) -> tuple[list[Past], int]:
    """The visits to show, and how many there are."""
    rows, count = confirmed_entries(session, animal, first=(turn - 1) * _VISITS, most=_VISITS)
    visits: dict[int, Past] = {}
    for entry, on in rows:
        past = visits.setdefault(entry.visit_id, Past(visit_id=entry.visit_id, date=on))
        values = entry.values
        past.said.append((entry.id, say_entry(values)))
        past.values.append(values)
    return list(visits.values()), count
