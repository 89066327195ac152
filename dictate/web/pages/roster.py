"""Taking a roster in: upload, match the columns, see what it would do and what it refuses, confirm."""

import datetime as dt
from dataclasses import dataclass, field
from typing import Annotated

import fastapi
from fastapi import APIRouter, Depends, Request, UploadFile
from fastapi.responses import HTMLResponse, Response
from sqlmodel import Session

from dictate.errors import RosterError
from dictate.exchange.roster import (
    FIELDS,
    Refused,
    RosterRead,
    Table,
    find_columns,
    read_rows,
    read_table,
)
from dictate.exchange.roster.dates import DateOrder
from dictate.record.identify import herd_warnings
from dictate.store.farms import farm_by_name
from dictate.store.overview import visit_lines
from dictate.store.record_queries import farm_rows
from dictate.store.roster import ManyLeaveError, keep_columns, kept_columns, take_in_roster
from dictate.store.roster_lines import RosterChange
from dictate.store.roster_undo import newest_roster, undo_roster
from dictate.texts import gettext, ngettext, noted, translated
from dictate.web.desk import Desk, TheDesk, back_to, page
from dictate.web.guard import Who
from dictate.web.lists import (
    chosen_columns,
    chosen_dates,
    held,
    hold,
    not_taken_in,
    refused_file,
    to_match,
)

router = APIRouter()
_DID = noted("added"), noted("changed"), noted("renumbered"), noted("left"), noted("returned")
"""What taking a list in may do to animals, as it is kept."""
_AGAIN = {"same": True, "new": False}
_ZEROS = {"same": True, "other": False}


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What taking the file in would do."""

    read: RosterRead | None = None
    change: RosterChange | None = None
    refused: tuple[Refused, ...] = ()
    faults: tuple[str, ...] = ()
    """What a person has to say or mend first."""
    many_leave: str = ""
    """How many animals a complete list would take off, where that needs a yes."""
    warnings: list[str] = field(default_factory=list)
    """What looks wrong and blocks nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Matching:
    """The form between upload and confirmation."""

    key: str
    farm: str
    file: str = ""
    """Its name, to be shown again."""
    complete: bool = False
    sure: bool = False
    dates: DateOrder | None = None
    returned: str = ""
    """`same`, `new`, or empty while nobody has said it."""
    zeros: str = ""
    """`same`, `other`, or empty: what 0412 is where the herd has 412."""
    columns: dict[int, str]


async def _matching(request: Request) -> Matching:
    form = await request.form()
    returned, zeros = form.get("returned"), form.get("zeros")
    return Matching(
        key=str(form.get("key", "")),
        farm=str(form.get("farm", ""))[:100].strip(),
        file=str(form.get("file", ""))[:100],
        complete=form.get("complete") == "yes",
        sure=form.get("sure") == "yes",
        dates=chosen_dates(form),
        returned=str(returned) if returned in _AGAIN else "",
        zeros=str(zeros) if zeros in _ZEROS else "",
        columns=chosen_columns(form, FIELDS),
    )


Matched = Annotated[Matching, Depends(_matching)]


@router.get("/roster", response_class=HTMLResponse)
def roster_page(request: Request, desk: TheDesk, _person: Who, farm: str = "") -> HTMLResponse:
    """The form for a file of a farm's animals."""
    return _upload_page(request, desk, farm=farm)


@router.post("/roster")
def upload(
    request: Request,
    desk: TheDesk,
    person: Who,
    file: UploadFile,
    farm: Annotated[str, fastapi.Form(max_length=100, min_length=1)],
    sheet: Annotated[str, fastapi.Form(max_length=100)] = "",
) -> HTMLResponse:
    """Keep the file for a moment and show its columns."""
    data = file.file.read()
    try:
        table = read_table(data, sheet=sheet.strip() or None)
        with desk.database.reading() as session:
            columns = find_columns(table, kept=kept_columns(session, farm.strip()))
        if not table.rows:
            raise RosterError(
                gettext("the file has no lines"), remedy=gettext("Give one animal a line")
            )
    except RosterError as error:
        return _upload_page(request, desk, farm=farm, fault=error.line)
    key = hold(person, data, sheet.strip() or None)
    matching = Matching(
        key=key, farm=farm.strip(), file=(file.filename or "")[:100], columns=dict(columns.fields)
    )
    return _match_page(request, desk, table, matching)


@router.post("/roster/look")
def look(request: Request, desk: TheDesk, person: Who, matching: Matched) -> HTMLResponse:
    """Show again what the file would do with other columns."""
    return _match_page(request, desk, held(person, matching.key), matching)


@router.post("/roster/to-mend")
def to_mend(desk: TheDesk, person: Who, matching: Matched) -> Response:
    """The lines that would not be taken in, as a file to correct."""
    plan = _plan(desk, held(person, matching.key), matching)
    return refused_file(plan.refused, plan.read.columns if plan.read else None)


@router.post("/roster/take-in")
def take_in(request: Request, desk: TheDesk, person: Who, matching: Matched) -> Response:
    """Take the animals in, as shown."""
    table = held(person, matching.key)
    plan = _plan(desk, table, matching)
    if plan.read is None or plan.change is None:
        return _match_page(request, desk, table, matching)
    with desk.database.writing() as session:
        at = farm_by_name(session, matching.farm, make=True)
        farm_id = at.id
        if plan.read.columns.kept != find_columns(table).kept:
            kept = kept_columns(session, matching.farm) | plan.read.columns.kept
            keep_columns(session, at, kept, by=person.name)
        change = _taken_in(session, plan.read, matching, by=person.name)
        begun = bool(visit_lines(session, most=1))
    person.drafts.pop(matching.key, None)
    told = ", ".join(
        f"{count} {translated(what)}" for what in _DID if (count := getattr(change, what))
    )
    person.notice = gettext(
        "Roster of %(farm)s: %(told)s.",
        farm=matching.farm,
        told=told or gettext("nothing changed"),
    ) + not_taken_in(plan.refused)
    # Who has recorded nothing yet is on the way through the first steps.
    return back_to(f"/animals?farm={farm_id}" if begun else "/first-steps")


@router.post("/roster/undo")
def take_back(
    desk: TheDesk, person: Who, farm: Annotated[str, fastapi.Form(max_length=100, min_length=1)]
) -> Response:
    """Take the newest list of a farm back."""
    with desk.database.writing() as session:
        done = undo_roster(session, farm_by_name(session, farm), by=person.name)
    person.notice = ngettext(
        "The list of %(farm)s was taken back: %(num)s new animal removed, %(kept)s kept because of their entries, %(back)s as they were before.",
        "The list of %(farm)s was taken back: %(num)s new animals removed, %(kept)s kept because of their entries, %(back)s as they were before.",
        done.removed,
        farm=farm,
        kept=done.kept,
        back=done.put_back,
    )
    return back_to("/roster")


def _taken_in(session: Session, read: RosterRead, matching: Matching, *, by: str) -> RosterChange:
    return take_in_roster(
        session,
        farm_by_name(session, matching.farm, make=True),
        read.lines,
        by=by,
        # Who was refused is no reason to take her off.
        complete=matching.complete and not read.animals_refused,
        sure=matching.sure,
        returned=_AGAIN.get(matching.returned),
        zeros=_ZEROS.get(matching.zeros),
        source=matching.file,
    )


def _upload_page(request: Request, desk: Desk, *, farm: str = "", fault: str = "") -> HTMLResponse:
    with desk.database.reading() as session:
        farms = [farm.name for farm in farm_rows(session)]
        lists = [
            (name, listed)
            for name in farms
            if (listed := newest_roster(session, farm_by_name(session, name)))
        ]
    return page(
        request,
        "roster.html",
        status=422 if fault else 200,
        farms=farms,
        at=farm or desk.settings.farm or "",
        fault=fault,
        lists=lists,
    )


def _match_page(request: Request, desk: Desk, table: Table, matching: Matching) -> HTMLResponse:
    columns = find_columns(table, at=matching.columns)
    plan = _plan(desk, table, matching)
    order = plan.read.dates if plan.read else matching.dates
    return page(
        request,
        "roster_match.html",
        matching=matching,
        plan=plan,
        **to_match(table, columns, FIELDS, order=order, today=desk.today()),
    )


def _plan(desk: Desk, table: Table, matching: Matching) -> Plan:
    """Try it in a session whose changes are dropped."""
    try:
        columns = find_columns(table, at=matching.columns)
        read = read_rows(
            table,
            columns,
            dates=matching.dates,
            farm=matching.farm,
            today=dt.date.today(),  # noqa: DTZ011
        )
    except RosterError as error:
        return Plan(faults=(error.what,))
    warnings = [
        *columns.doubts,
        *herd_warnings((line.number, line.eid, line.ear_tag) for line in read.lines),
    ]
    if not read.lines:
        return Plan(read=read, refused=read.refused, faults=(gettext("no line is an animal"),))
    try:
        with desk.database.reading() as session:
            change = _taken_in(session, read, matching, by="")
    except ManyLeaveError as error:
        return Plan(read=read, refused=read.refused, many_leave=error.what, warnings=warnings)
    undecided = tuple(
        Refused(row=row, why=(change.undecided[line.number],))
        for line, row in zip(read.lines, read.rows, strict=True)
        if line.number in change.undecided
    )
    return Plan(read=read, change=change, refused=read.refused + undecided, warnings=warnings)
