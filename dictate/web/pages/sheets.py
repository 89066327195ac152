"""The visit sheet, as a page and as a PDF for the farm."""

from fastapi import APIRouter
from fastapi.responses import HTMLResponse, Response

from dictate.errors import NotFoundError
from dictate.record.picture import HerdPicture
from dictate.sheets.visit_sheet import load_visit_sheet, visit_sheet_html, visit_sheet_pdf
from dictate.store.herd import herd_picture
from dictate.store.tables import Farm
from dictate.web.desk import Desk, TheDesk
from dictate.web.guard import Who
from dictate.web.showing import place_of

__all__ = ["router"]

router = APIRouter()
_OWN_STYLE = (
    "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'"
)
"""A sheet is one file with its own style and no script at all."""


@router.get("/visits/{visit_id}/sheet", response_class=HTMLResponse)
def sheet(desk: TheDesk, _person: Who, visit_id: int) -> HTMLResponse:
    """The sheet as the farm sees it."""
    with desk.database.reading() as session:
        made = load_visit_sheet(
            session, place_of(session, visit_id).visit, contact=desk.settings.contact
        )
    html = visit_sheet_html(made, paper=desk.settings.paper)
    return HTMLResponse(html, headers={"Content-Security-Policy": _OWN_STYLE})


@router.get("/visits/{visit_id}/sheet.pdf")
def sheet_pdf(desk: TheDesk, _person: Who, visit_id: int) -> Response:
    """The sheet to print or to send."""
    with desk.database.reading() as session:
        place = place_of(session, visit_id)
        made = load_visit_sheet(session, place.visit, contact=desk.settings.contact)
    name = f"visit-{visit_id}-{place.visit.date.isoformat()}.pdf"
    return Response(
        visit_sheet_pdf(made, paper=desk.settings.paper),
        media_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"'},
    )


@router.get("/farms/{farm_id}/herd", response_class=HTMLResponse)
def herd(desk: TheDesk, _person: Who, farm_id: int) -> HTMLResponse:
    """The herd picture of the year up to the last visit."""
    from dictate.sheets.herd_sheet import herd_sheet_html  # noqa: PLC0415 (plots are slow to load)

    html = herd_sheet_html(_picture(desk, farm_id), paper=desk.settings.paper)
    return HTMLResponse(html, headers={"Content-Security-Policy": _OWN_STYLE})


@router.get("/farms/{farm_id}/herd.pdf")
def herd_pdf(desk: TheDesk, _person: Who, farm_id: int) -> Response:
    """The herd picture to print."""
    from dictate.sheets.herd_sheet import herd_sheet_pdf  # noqa: PLC0415 (plots are slow to load)

    return Response(
        herd_sheet_pdf(_picture(desk, farm_id), paper=desk.settings.paper),
        media_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="herd-{farm_id}.pdf"'},
    )


def _picture(desk: Desk, farm_id: int) -> HerdPicture:
    with desk.database.reading() as session:
        farm = session.get(Farm, farm_id)
        if farm is None:
            raise NotFoundError(f"there is no farm {farm_id}", remedy="Choose one from the visits")
        return herd_picture(session, farm)
