"""Sheets and bill: what leaves after a visit. Sheet, tally with the trimmer's prices, files."""

import io
import tempfile
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Literal
from urllib.parse import quote

import fastapi
from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from sqlmodel import Session

from dictate.entry.wording import day
from dictate.exchange.ade_files import export_ade
from dictate.exchange.csv_files import tally_csv
from dictate.exchange.record_files import export_record
from dictate.record.tally import Tally, prices_of, tally
from dictate.settings import Settings
from dictate.sheets.visit_sheet import write_sheet
from dictate.store.farms import farm_at
from dictate.store.overview import visit_lines
from dictate.store.record_queries import Scope, action_rows, farm_rows
from dictate.store.visits import place_of
from dictate.texts import gettext
from dictate.web.desk import Form, TheDesk, back_to, page
from dictate.web.guard import Who
from dictate.web.pages.sheets import sheet_name

router = APIRouter()
_EACH = 30


@router.get("/bill", response_class=HTMLResponse)
def bills(
    request: Request, desk: TheDesk, _person: Who, farm: str = "", turn: int = 1
) -> HTMLResponse:
    """Visits with something confirmed, newest first, each with its sheet and bill."""
    at = max(turn, 1)
    with desk.database.reading() as session:
        farms = farm_rows(session)
        chosen = next((one for one in farms if str(one.id) == farm), None)
        lines = visit_lines(session, farm_id=chosen.id if chosen else None, skip=(at - 1) * _EACH, most=_EACH + 1)  # fmt: skip
    return page(
        request, "bills.html", farms=farms, at=chosen, lines=lines[:_EACH], turn=at, more=len(lines) > _EACH
    )  # fmt: skip


@router.get("/bill/{visit_id}", response_class=HTMLResponse)
def bill(
    request: Request, desk: TheDesk, person: Who, visit_id: int, written: bool = False
) -> HTMLResponse:
    """One visit: sheet, e-mail and the tally."""
    with desk.database.reading() as session:
        place = place_of(session, visit_id)
        line = visit_lines(session, visit_id=visit_id)[0]
        counted = _tally(session, desk.settings, visit_id)
    name = sheet_name(visit_id, place.visit.date.isoformat())
    return page(
        request,
        "bill.html",
        place=place,
        line=line,
        tally=counted,
        sheet=name,
        folder=desk.settings.sheets if written and not person.paired else None,
        mail=_mail(place.farm.name, day(place.visit.date), name, desk.settings) if written else "",
    )


@router.post("/bill/{visit_id}/mail")
def write_for_mail(
    desk: TheDesk, person: Who, visit_id: int, _form: Annotated[Form, fastapi.Form()]
) -> RedirectResponse:
    """Write the sheet into its folder, so that the mail program can take it along."""
    with desk.database.reading() as session:
        visit = place_of(session, visit_id).visit
        name = sheet_name(visit_id, visit.date.isoformat())
        write_sheet(session, desk.settings, visit, out=desk.settings.sheets / name)
    person.notice = gettext("Written: %(file)s.", file=name)
    return back_to(f"/bill/{visit_id}?written=true")


@router.get("/bill/{visit_id}/tally.csv")
def tally_table(desk: TheDesk, _person: Who, visit_id: int) -> Response:
    """The tally as a table for other programs."""
    with desk.database.reading() as session:
        place_of(session, visit_id)
        counted = _tally(session, desk.settings, visit_id)
    return _file(tally_csv(counted).encode(), f"tally-{visit_id}.csv", "text/csv; charset=utf-8")


@router.get("/export/record.zip")
def record_zip(desk: TheDesk, _person: Who, form: Literal["csv", "parquet"] = "csv") -> Response:
    """The whole confirmed record of all farms, a file for each table."""
    with desk.database.reading() as session:
        packed = _zipped(lambda folder: export_record(session, folder, form=form))
    return _file(packed, f"record-{form}.zip", "application/zip")


@router.get("/farms/{farm_id}/ade.zip")
def ade_zip(desk: TheDesk, _person: Who, farm_id: int) -> Response:
    """One farm's record in the form of the ICAR Animal Data Exchange."""
    with desk.database.reading() as session:
        farm = farm_at(session, farm_id)
        packed = _zipped(lambda folder: export_ade(session, folder, farm))
    return _file(packed, f"farm-{farm_id}-ade.zip", "application/zip")


@router.get("/farms/{farm_id}/year.zip")
def year_zip(desk: TheDesk, _person: Who, farm_id: int, year: int) -> Response:
    """A farm's year to hand over: herd picture, sheets, calendar, tables."""
    from dictate.review.farm_year import write_farm_year  # noqa: PLC0415 (the plots are slow to load)

    with desk.database.reading() as session:
        farm = farm_at(session, farm_id)
        packed = _zipped(
            lambda folder: write_farm_year(session, desk.settings, farm, folder, year=year)
        )
    return _file(packed, f"farm-{farm_id}-{year}.zip", "application/zip")


def _tally(session: Session, settings: Settings, visit_id: int) -> Tally:
    return tally(
        action_rows(session, Scope(visit_id=visit_id)),
        prices_of(settings),
        currency=settings.currency,
    )


def _mail(farm: str, on: str, name: str, settings: Settings) -> str:
    """An address that opens the mail program with the letter begun; programs attach files by hand."""
    subject = gettext("Claw trimming at %(farm)s, %(day)s", farm=farm, day=on)
    attached = gettext(
        "Please find attached the visit sheet of %(day)s: %(file)s", day=on, file=name
    )
    text = f"{attached}\n\n{settings.trimmer}\n{settings.contact}".rstrip()
    return f"mailto:?subject={quote(subject)}&body={quote(text)}"


def _zipped(write: Callable[[Path], object]) -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        made = Path(folder) / "made"
        write(made)
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as bundle:
            for path in sorted(made.rglob("*")):
                if path.is_file():
                    bundle.write(path, path.relative_to(made))
        return packed.getvalue()


def _file(content: bytes, name: str, kind: str) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=kind, headers=headers)
