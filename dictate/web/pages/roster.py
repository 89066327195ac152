"""Taking a roster in: upload, match the columns, see the problems and what it would do, confirm."""

import secrets
from dataclasses import dataclass, field
from typing import Annotated

import fastapi
from fastapi import APIRouter, Depends, Request, UploadFile
from fastapi.responses import HTMLResponse, Response
from sqlmodel import select

from dictate.errors import RosterError
from dictate.record.identify import herd_warnings
from dictate.store.queries import farm_by_name
from dictate.store.roster import RosterChange, RosterLine, take_in_roster
from dictate.store.tables import Farm
from dictate.web.desk import Desk, TheDesk, back_to, page
from dictate.web.guard import Person, Who
from dictate.web.table_file import FIELDS, TableFile, lines_of, read_table

__all__ = ["router"]

router = APIRouter()
_SHOWN = 6
_DRAFTS = 3
"""Uploads kept for a person between the steps; older ones are dropped."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What taking the file in would do."""

    lines: list[RosterLine] = field(default_factory=list)
    change: RosterChange | None = None
    faults: list[str] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    """What looks wrong and blocks nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Matching:
    """The form between upload and confirmation."""

    key: str
    farm: str
    complete: bool
    columns: dict[int, str]


async def _matching(request: Request) -> Matching:
    form = await request.form()
    columns = {
        int(name.removeprefix("column.")): str(value)
        for name, value in form.items()
        if name.startswith("column.")
        and name.removeprefix("column.").isdecimal()
        and value in FIELDS
    }
    return Matching(
        key=str(form.get("key", "")),
        farm=str(form.get("farm", ""))[:100].strip(),
        complete=form.get("complete") == "yes",
        columns=columns,
    )


Matched = Annotated[Matching, Depends(_matching)]


@router.get("/roster", response_class=HTMLResponse)
def roster_page(request: Request, desk: TheDesk, _person: Who) -> HTMLResponse:
    """The form for a file."""
    return _upload_page(request, desk)


@router.post("/roster")
def upload(
    request: Request,
    desk: TheDesk,
    person: Who,
    file: UploadFile,
    farm: Annotated[str, fastapi.Form(max_length=100, min_length=1)],
) -> HTMLResponse:
    """Keep the file for a moment and show its columns."""
    try:
        table = read_table(file.file.read())
    except RosterError as error:
        return _upload_page(request, desk, fault=error.line)
    for old in list(person.drafts)[: max(0, len(person.drafts) - _DRAFTS + 1)]:
        del person.drafts[old]
    key = secrets.token_urlsafe(12)
    person.drafts[key] = table.text
    matching = Matching(key=key, farm=farm.strip(), complete=False, columns=table.guess)
    return _match_page(request, desk, table, matching)


@router.post("/roster/look")
def look(request: Request, desk: TheDesk, person: Who, matching: Matched) -> HTMLResponse:
    """Show again what the file would do with other columns."""
    return _match_page(request, desk, _draft(person, matching.key), matching)


@router.post("/roster/take-in")
def take_in(request: Request, desk: TheDesk, person: Who, matching: Matched) -> Response:
    """Take the animals in, as shown."""
    table = _draft(person, matching.key)
    try:
        lines = lines_of(table, matching.columns)
        with desk.database.writing() as session:
            at = farm_by_name(session, matching.farm, make=True)
            change = take_in_roster(session, at, lines, by=person.name, complete=matching.complete)
    except RosterError:
        return _match_page(request, desk, table, matching)
    person.drafts.pop(matching.key, None)
    told = ", ".join(f"{count} {what}" for what, count in change.model_dump().items() if count)
    person.notice = f"Roster of {matching.farm}: {told or 'nothing changed'}."
    return back_to(f"/animals?farm={at.id}")


def _draft(person: Person, key: str) -> TableFile:
    text = person.drafts.get(key)
    if text is None:
        raise RosterError("the file is no longer held here", remedy="Choose it once more")
    return read_table(text.encode())


def _upload_page(request: Request, desk: Desk, *, fault: str = "") -> HTMLResponse:
    with desk.database.reading() as session:
        farms = session.exec(select(Farm.name).order_by(Farm.name)).all()
    return page(request, "roster.html", status=422 if fault else 200, farms=farms, fault=fault)


def _match_page(request: Request, desk: Desk, table: TableFile, matching: Matching) -> HTMLResponse:
    return page(
        request,
        "roster_match.html",
        table=table,
        matching=matching,
        plan=_plan(desk, table, matching),
        fields=FIELDS,
        sample=table.rows[:_SHOWN],
    )


def _plan(desk: Desk, table: TableFile, matching: Matching) -> Plan:
    """Try it in a session whose changes are dropped."""
    try:
        lines = lines_of(table, matching.columns)
        with desk.database.reading() as session:
            at = farm_by_name(session, matching.farm, make=True)
            change = take_in_roster(session, at, lines, by="", complete=matching.complete)
    except RosterError as error:
        return Plan(faults=error.what.split("; "))
    warnings = herd_warnings((line.number, line.eid, line.ear_tag) for line in lines)
    return Plan(lines=lines, change=change, warnings=warnings)
