"""Taking treatments of the past in: upload, match columns and words, see what it would do, confirm."""

import datetime as dt
from dataclasses import dataclass, field
from typing import Annotated

import fastapi
from fastapi import APIRouter, Depends, Request, UploadFile
from fastapi.responses import HTMLResponse, Response

from dictate.errors import NotFoundError, RosterError
from dictate.exchange.past import PAST, PastRead, one_visit_a_row, read_past
from dictate.exchange.past.kind import headings_in
from dictate.exchange.past.words import check_words
from dictate.exchange.roster import Refused, Table, find_columns, read_table
from dictate.exchange.roster.dates import DateOrder, Unfit
from dictate.exchange.roster.words import folded
from dictate.review import acts
from dictate.store.farms import farm_by_name
from dictate.store.past import PastChange, keep_for_past, kept_for_past, newest_past, take_in_past
from dictate.store.record_queries import farm_rows
from dictate.texts import gettext, ngettext
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

__all__ = ["router"]

router = APIRouter()
Farm = Annotated[str, fastapi.Form(min_length=1, max_length=100)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Matching:
    """The form between upload and confirmation."""

    key: str
    farm: str
    file: str
    columns: dict[int, str]
    words: dict[str, str]
    dates: DateOrder | None = None
    on: dt.date | None = None
    day_above: bool = False
    new: bool = False

    @property
    def words_said(self) -> str:
        """As in the field: one word a line."""
        return "\n".join(f"{word} = {meaning}" for word, meaning in self.words.items())


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What taking the file in would do."""

    read: PastRead | None = None
    change: PastChange | None = None
    refused: tuple[Refused, ...] = ()
    fault: str = ""
    told: list[str] = field(default_factory=list)


async def _matching(request: Request) -> Matching:
    form = await request.form()
    said = [str(line).rpartition("=") for line in str(form.get("words", "")).splitlines()]
    return Matching(
        key=str(form.get("key", "")),
        farm=str(form.get("farm", ""))[:100].strip(),
        file=str(form.get("file", ""))[:100],
        columns=chosen_columns(form, PAST.fields),
        words={folded(word): meaning.strip() for word, sign, meaning in said if sign},
        dates=chosen_dates(form),
        on=_day(str(form.get("on", ""))),
        day_above=form.get("day_above") == "yes",
        new=form.get("new") == "yes",
    )


def _day(said: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(said)
    except ValueError:
        return None


Matched = Annotated[Matching, Depends(_matching)]


@router.get("/past", response_class=HTMLResponse)
def past_page(request: Request, desk: TheDesk, _person: Who, farm: str = "") -> HTMLResponse:
    """The form for a file, and the newest lists, which can be taken back."""
    return _upload_page(request, desk, farm=farm)


@router.post("/past")
def upload(
    request: Request,
    desk: TheDesk,
    person: Who,
    file: UploadFile,
    farm: Farm,
    sheet: Annotated[str, fastapi.Form(max_length=100)] = "",
) -> HTMLResponse:
    """Keep the file for a moment and show its columns."""
    data = file.file.read()
    try:
        table = one_visit_a_row(read_table(data, sheet=sheet.strip() or None))
        with desk.database.reading() as session:
            farm_by_name(session, farm.strip())
            columns_kept, words = kept_for_past(session, farm.strip())
        columns = find_columns(table, kept=headings_in(words) | columns_kept, kind=PAST)
        if not table.rows:
            raise RosterError(
                gettext("the file has no lines"), remedy=gettext("Give one treatment a line")
            )
    except (RosterError, NotFoundError) as error:
        return _upload_page(request, desk, farm=farm, fault=error.line)
    key = hold(person, data, sheet.strip() or None)
    name = (file.filename or "a list")[:100]
    matching = Matching(key=key, farm=farm.strip(), file=name, columns=dict(columns.fields), words=words)  # fmt: skip
    return _match_page(request, desk, table, matching)


@router.post("/past/look")
def look(request: Request, desk: TheDesk, person: Who, matching: Matched) -> HTMLResponse:
    """Show again what the file would do with other columns and words."""
    return _match_page(request, desk, one_visit_a_row(held(person, matching.key)), matching)


@router.post("/past/to-mend")
def to_mend(desk: TheDesk, person: Who, matching: Matched) -> Response:
    """The lines that would not be taken in, as a file to correct."""
    plan = _plan(desk, one_visit_a_row(held(person, matching.key)), matching)
    return refused_file(plan.refused, plan.read.columns if plan.read else None)


@router.post("/past/take-in")
def take_in(request: Request, desk: TheDesk, person: Who, matching: Matched) -> Response:
    """Add the rows to the histories, as shown."""
    table = one_visit_a_row(held(person, matching.key))
    plan = _plan(desk, table, matching)
    if plan.read is None or plan.change is None:
        return _match_page(request, desk, table, matching)
    with desk.database.writing() as session:
        farm = farm_by_name(session, matching.farm)
        kept, _ = kept_for_past(session, farm.name)
        keep_for_past(session, farm, kept | plan.read.columns.kept, matching.words, by=person.name)
        change = take_in_past(
            session, farm, plan.read.lines, by=person.name, source=matching.file, new=matching.new
        )
        farm_id = farm.id
    person.drafts.pop(matching.key, None)
    person.notice = _told(change) + not_taken_in(plan.refused)
    return back_to(f"/farms/{farm_id}")


def _told(change: PastChange) -> str:
    added = ngettext("%(num)s row added.", "%(num)s rows added.", change.added)
    known = ngettext("%(num)s is known already.", "%(num)s are known already.", change.known)
    return f"{added} {known}" if change.known else added


@router.post("/past/undo")
def take_back(desk: TheDesk, person: Who, farm: Farm) -> Response:
    """Take the newest list of a farm back, as one act."""
    with desk.database.reading() as session:
        listed = newest_past(session, farm_by_name(session, farm))
    if listed is None:
        raise NotFoundError(gettext("no list of %(farm)s can be taken back", farm=farm))
    done = acts.undo_act(desk.database, desk.settings, listed.act, by=person.name)
    person.notice = ngettext(
        "Taken back: %(file)s, %(num)s row.",
        "Taken back: %(file)s, %(num)s rows.",
        len(done.entries),
        file=listed.file,
    )
    return back_to("/past")


def _upload_page(request: Request, desk: Desk, *, farm: str = "", fault: str = "") -> HTMLResponse:
    with desk.database.reading() as session:
        farms = [one.name for one in farm_rows(session)]
        lists = [
            (name, listed.file)
            for name in farms
            if (listed := newest_past(session, farm_by_name(session, name)))
        ]
    return page(
        request, "past.html", status=422 if fault else 200, farms=farms,
        at=farm or desk.settings.farm or "", fault=fault, lists=lists,
    )  # fmt: skip


def _match_page(request: Request, desk: Desk, table: Table, matching: Matching) -> HTMLResponse:
    columns = find_columns(table, at=matching.columns, kind=PAST)
    plan = _plan(desk, table, matching)
    order = plan.read.dates if plan.read else matching.dates
    return page(
        request,
        "past_match.html",
        matching=matching,
        plan=plan,
        **to_match(table, columns, PAST.fields, order=order, today=desk.today()),
    )


def _plan(desk: Desk, table: Table, matching: Matching) -> Plan:
    """Try it in a session whose changes are dropped."""
    try:
        check_words(matching.words)
        columns = find_columns(table, at=matching.columns, kind=PAST)
        read = read_past(
            table,
            columns,
            words=matching.words,
            dates=matching.dates,
            on=matching.on,
            today=desk.today(),
            farm=matching.farm,
            day_above=matching.day_above,
        )
    except Unfit as fault:
        return Plan(fault=str(fault))
    except RosterError as error:
        return Plan(fault=error.line)
    with desk.database.reading() as session:
        farm = farm_by_name(session, matching.farm)
        change = take_in_past(
            session, farm, read.lines, by="", source=matching.file, new=matching.new
        )
    undecided = [Refused(row=read.rows[at], why=(why,)) for at, why in change.undecided.items()]
    return Plan(read=read, change=change, refused=(*read.refused, *undecided), told=list(read.told))
