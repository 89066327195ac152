"""The visit sheet, as a page and as a PDF for the farm."""

from fastapi import APIRouter
from fastapi.responses import HTMLResponse, Response

from dictate.sheets.visit_sheet import load_visit_sheet, visit_sheet_html, visit_sheet_pdf
from dictate.store.visits import place_of
from dictate.texts import gettext
from dictate.web.desk import TheDesk
from dictate.web.guard import Who

router = APIRouter()
OWN_STYLE = (
    "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'"
)
"""A sheet is one file with its own style and no script at all."""


def sheet_name(visit_id: int, date: object) -> str:
    """The file name of a visit's sheet."""
    return f"visit-{visit_id}-{date}.pdf"


@router.get("/visits/{visit_id}/sheet", response_class=HTMLResponse)
def sheet(desk: TheDesk, _person: Who, visit_id: int) -> HTMLResponse:
    """The sheet as the farm sees it."""
    with desk.database.reading() as session:
        made = load_visit_sheet(
            session, place_of(session, visit_id).visit, contact=desk.settings.contact
        )
    way = (
        (gettext("Back"), f"/bill/{visit_id}"),
        (gettext("To print (PDF)"), f"/visits/{visit_id}/sheet.pdf"),
    )
    html = visit_sheet_html(made, paper=desk.settings.paper, way=way)
    return HTMLResponse(html, headers={"Content-Security-Policy": OWN_STYLE})


@router.get("/visits/{visit_id}/sheet.pdf")
def sheet_pdf(desk: TheDesk, _person: Who, visit_id: int) -> Response:
    """The sheet to print or to send."""
    with desk.database.reading() as session:
        place = place_of(session, visit_id)
        made = load_visit_sheet(session, place.visit, contact=desk.settings.contact)
    name = sheet_name(visit_id, place.visit.date.isoformat())
    return Response(
        visit_sheet_pdf(made, paper=desk.settings.paper),
        media_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"'},
    )
