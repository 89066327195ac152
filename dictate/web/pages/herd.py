"""The herd picture with a choice of farm and period: in words here, whole as a page or PDF."""

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Literal
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, Response
from pydantic import BeforeValidator, Field

from dictate.record.picture import HerdPicture
from dictate.record.rows import YEAR
from dictate.store.farms import farm_at
from dictate.store.herd import herd_picture, open_cases_by_visits
from dictate.store.record_queries import farm_rows
from dictate.texts import gettext
from dictate.web.desk import Desk, TheDesk, page
from dictate.web.guard import Who
from dictate.web.pages.sheets import OWN_STYLE

if TYPE_CHECKING:  # the plots are slow to load
    from dictate.sheets.herd_sheet import Part

router = APIRouter()
Day = Annotated[dt.date | None, BeforeValidator(lambda value: value or None)]
Turn = Annotated[int, Field(ge=1, le=10_000)]
_EACH = 200
_MOST = 20
"""Open cases named on the page itself."""
Span = Literal["half", "year", "all", "own"]
_DAYS = {"half": 183, "year": YEAR, "all": None, "own": None}


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """Which visits count."""

    span: Span = "year"
    since: dt.date | None = None
    until: dt.date | None = None

    def draw(self, desk: Desk, farm_id: int, *, most_cases: int | None = None) -> HerdPicture:
        own = self.span == "own"
        with desk.database.reading() as session:
            farm = farm_at(session, farm_id)
            return herd_picture(
                session, farm, days=_DAYS[self.span],
                since=self.since if own else None, until=self.until if own else None,
                most_cases=most_cases,
            )  # fmt: skip

    @property
    def query(self) -> str:
        days = {"since": self.since, "until": self.until} if self.span == "own" else {}
        return urlencode({"span": self.span, **{name: day for name, day in days.items() if day}})

    @classmethod
    def of_year(cls, year: int) -> "Period":
        return cls(span="own", since=dt.date(year, 1, 1), until=dt.date(year, 12, 31))


def _period(span: Span = "year", since: Day = None, until: Day = None) -> Period:
    return Period(span=span, since=since, until=until)


Asked = Annotated[Period, Depends(_period)]


@router.get("/herd", response_class=HTMLResponse)
def herd(
    request: Request, desk: TheDesk, _person: Who, period: Asked, farm: str = ""
) -> HTMLResponse:
    """What a farmer reads in a minute, of one farm and period."""
    from dictate.sheets.herd_contents import headlines  # noqa: PLC0415

    with desk.database.reading() as session:
        farms = farm_rows(session)
        usual = desk.settings.farm
    at = next((one for one in farms if str(one.id) == farm), None)
    at = at or next((one for one in farms if one.name == usual), farms[0] if farms else None)
    picture = period.draw(desk, at.id, most_cases=_MOST) if at else None
    return page(
        request,
        "herd.html",
        farms=farms,
        at=at,
        period=period,
        picture=picture,
        head=headlines(picture) if picture else None,
    )


@router.get("/farms/{farm_id}/herd", response_class=HTMLResponse)
def pages(desk: TheDesk, _person: Who, farm_id: int, period: Asked) -> HTMLResponse:
    """The herd picture as the farm reads it; its figures stand on a page of their own."""
    annex = (gettext("Annex: all figures"), f"/farms/{farm_id}/herd/annex?{period.query}")
    return _sheet(desk, farm_id, period, "pages", annex)


@router.get("/farms/{farm_id}/herd/annex", response_class=HTMLResponse)
def annex(desk: TheDesk, _person: Who, farm_id: int, period: Asked) -> HTMLResponse:
    """All figures behind it."""
    back = (gettext("Herd picture"), f"/farms/{farm_id}/herd?{period.query}")
    return _sheet(desk, farm_id, period, "annex", back)


def _sheet(
    desk: Desk, farm_id: int, period: Period, part: "Part", other: tuple[str, str]
) -> HTMLResponse:
    from dictate.sheets.herd_sheet import MOST_CASES, herd_sheet_html  # noqa: PLC0415

    way = (
        (gettext("Back"), f"/herd?farm={farm_id}&{period.query}"),
        other,
        (gettext("To print (PDF)"), f"/farms/{farm_id}/herd.pdf?{period.query}"),
    )
    picture = period.draw(desk, farm_id, most_cases=MOST_CASES)
    years = ((str(year), Period.of_year(year).query) for year in picture.years)
    further = (
        (gettext("Every open case of the farm"), f"/farms/{farm_id}/herd/cases"),
        *((year, f"/farms/{farm_id}/herd?{query}") for year, query in years),
    )
    html = herd_sheet_html(picture, paper=desk.settings.paper, part=part, way=way, further=further)
    return HTMLResponse(html, headers={"Content-Security-Policy": OWN_STYLE})


@router.get("/farms/{farm_id}/herd/cases", response_class=HTMLResponse)
def cases(
    request: Request, desk: TheDesk, _person: Who, farm_id: int, turn: Turn = 1
) -> HTMLResponse:
    """Every open case of a farm, as many to a page as a phone carries."""
    first = (turn - 1) * _EACH
    with desk.database.reading() as session:
        farm = farm_at(session, farm_id)
        some, total = open_cases_by_visits(session, farm, first=first, most=_EACH)
    return page(
        request, "herd_cases.html", farm=farm, cases=some, turn=turn, first=first + 1, last=first + len(some), total=total,
    )  # fmt: skip


@router.get("/farms/{farm_id}/herd.pdf")
def printed(desk: TheDesk, _person: Who, farm_id: int, period: Asked) -> Response:
    """The herd picture to print."""
    from dictate.sheets.herd_sheet import herd_sheet_pdf  # noqa: PLC0415

    return Response(
        herd_sheet_pdf(period.draw(desk, farm_id), paper=desk.settings.paper),
        media_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="herd-{farm_id}.pdf"'},
    )
