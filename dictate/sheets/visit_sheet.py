"""The visit sheet: what the farm gets after a visit, the same for the page and for print.

`visit_sheet_html` is the one rendering; the PDF is printed from that HTML (see `pdf.py`).
"""

from collections.abc import Sequence
from pathlib import Path

from markupsafe import Markup
from sqlmodel import Session, func, select

from dictate.entry.wording import day
from dictate.settings import Settings
from dictate.sheets.claw_drawing import key_drawing, zone_words
from dictate.sheets.line_map import line_shapes
from dictate.sheets.pdf import print_pages
from dictate.sheets.template import render
from dictate.sheets.visit_contents import VisitSheet, make_visit_sheet
from dictate.sheets.visit_rows import VisitRows
from dictate.store import record_queries as record
from dictate.store.states import EntryState
from dictate.store.tables import Entry, Farm, Visit
from dictate.written import write_whole

_PAGES = 2


def visit_sheet_html(
    sheet: VisitSheet,
    *,
    paper: str = "A4",
    density: str = "roomy",
    way: Sequence[tuple[str, str]] = (),
) -> str:
    """Return the whole page.

    Args:
        sheet: What stands on it.
        paper: A4 or Letter.
        density: roomy, close or tight; matters in print only.
        way: Words and addresses of links above it, where it is shown by a server.

    """
    return render(
        "visit_sheet.html",
        sheet=sheet,
        paper=paper,
        density=density,
        way=way,
        day=day,
        example=Markup(key_drawing()),  # noqa: S704 - our own drawing
        claws=Markup(line_shapes()),  # noqa: S704 - the same
        zones=zone_words(),
    )


def visit_sheet_pdf(sheet: VisitSheet, *, paper: str = "A4") -> bytes:
    """Print the page: as large as fits on two sheets of paper, else as many as it takes.

    The letters of the lines are 11, 10 or 9 points high and never smaller.
    """
    pages, pdf = print_pages(visit_sheet_html(sheet, paper=paper, density="tight"))
    if pages > _PAGES:
        return pdf
    for density in ("roomy", "close"):
        pages, larger = print_pages(visit_sheet_html(sheet, paper=paper, density=density))
        if pages <= _PAGES:
            return larger
    return pdf


def load_visit_sheet(session: Session, visit: Visit, *, contact: str = "") -> VisitSheet:
    """Read one visit's confirmed record and lay it out; `contact` is how the trimmer is reached."""
    scope = record.Scope(visit_id=visit.id)
    visits = {row.id: row for row in record.visit_rows(session, farm_id=visit.farm_id)}
    rows = VisitRows(
        names=record.animal_names(session, farm_id=visit.farm_id),
        findings=record.finding_rows(session, scope),
        actions=record.action_rows(session, scope),
        follow_ups=record.follow_up_rows(session, scope),
        locomotion=record.locomotion_rows(session, scope),
        measures=record.measure_rows(session, scope),
        status=record.status_rows(session, scope),
        remarks=record.remark_rows(session, scope),
    )
    waiting = select(func.count()).select_from(Entry)
    waiting = waiting.where(Entry.visit_id == visit.id, Entry.state == EntryState.WAITING)
    return make_visit_sheet(
        farm=session.get_one(Farm, visit.farm_id).name,
        visit=visits[visit.id],
        rows=rows,
        waiting=session.exec(waiting).one(),
        contact=contact,
    )


def write_sheet(
    session: Session, settings: Settings, visit: Visit, *, out: Path | None = None
) -> Path:
    """Write the sheet, as PDF or (for a name ending in .html) as a page; return where it is."""
    sheet = load_visit_sheet(session, visit, contact=settings.contact)
    path = out or settings.sheets / f"visit-{visit.id}-{visit.date.isoformat()}.pdf"
    if path.suffix.lower() in {".html", ".htm"}:
        return write_whole(path, visit_sheet_html(sheet, paper=settings.paper))
    return write_whole(path, visit_sheet_pdf(sheet, paper=settings.paper))
