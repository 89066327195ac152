"""The herd picture as a page and, from the same HTML, as PDF."""

from collections.abc import Callable, Hashable, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Literal

from markupsafe import Markup

from dictate.entry.wording import day, say_place
from dictate.record.picture import HerdPicture, TrimPicture
from dictate.record.prevalence import Prevalence
from dictate.sheets.herd_contents import Headlines, headlines
from dictate.sheets.pdf import print_pages
from dictate.sheets.plots import plot_prevalence, plot_stages, plot_trend
from dictate.sheets.template import render
from dictate.texts import catalogue, gettext, noted, translated
from dictate.written import write_whole

TRIM_TITLES = {
    "whole herd": noted("Visits where the whole herd was trimmed"),
    "chosen animals": noted("Visits where chosen animals were trimmed"),
    "not stated": noted("Visits where nobody stated whether the whole herd was trimmed"),
}

STEPS = {
    "visit": noted("From visit to visit"),
    "month": noted("From month to month"),
    "year": noted("From year to year"),
}
"""What one point of the lines stands for."""
Part = Literal["pages", "annex", "whole"]
MOST_CASES = 200
"""Lines of open cases in the annex."""


def herd_sheet_html(
    picture: HerdPicture,
    *,
    paper: str = "A4",
    part: Part = "whole",
    way: Sequence[tuple[str, str]] = (),
    further: Sequence[tuple[str, str]] = (),
) -> str:
    """Return the page with its plots.

    `part`: what a farmer reads in a minute (`pages`), the figures behind it (`annex`), or the `whole`.
    Where a server shows it, `way` are links above it, and `further` those to figures of one year or case.
    """
    head = headlines(picture)
    return render(
        "herd_picture.html",
        part=part,
        picture=picture,
        head=head,
        trend=_trend(head) if part != "annex" else "",
        steps=STEPS,
        cases=head.ordered[:MOST_CASES],
        trims=[
            (
                trim,
                gettext(TRIM_TITLES[trim.trim]),
                _plots(trim, f"trim-{at}", trend=trim is not head.trim),
            )
            for at, trim in enumerate(picture.trims)
            if part != "pages"
        ],
        paper=paper,
        way=way,
        further=further,
        day=day,
        interval=interval_words,
        group=group_words,
        place=say_place,
    )


def herd_sheet_pdf(picture: HerdPicture, *, paper: str = "A4") -> bytes:
    """Print the page."""
    return print_pages(herd_sheet_html(picture, paper=paper))[1]


_GROUPS = (
    noted("animals"), noted("feet"), noted("foot"), noted("claw"), noted("zone"), noted("lactation"),
    noted("lactation not known"), noted("year"), noted("month"), noted("infectious"), noted("non-infectious"),
)  # fmt: skip
"""What the figures are counted by; the record says it in English."""


def group_words(group: str) -> str:
    """A group of the figures, e.g. `zone 4`, in the language of the page."""
    kind, _, number = group.rpartition(" ")
    return f"{translated(kind)} {number}" if number.isdecimal() else translated(group)


def interval_words(row: Prevalence) -> str:
    """Return the 95 % interval in per cent, e.g. `25.5-36.6`."""
    low, high = row.interval
    return f"{100 * low:.1f}-{100 * high:.1f}"


def _plots(trim: TrimPicture, key: str, *, trend: bool) -> list[Markup]:
    """The plots of the annex; without `trend` where the lines stand on the first page."""
    drawn = []
    if trim.herd:
        visits = gettext(TRIM_TITLES[trim.trim])
        title = gettext("How common each lesion was: %(visits)s", visits=visits.lower())
        drawn.append(_drawn(plot_prevalence, trim.herd, title, f"{key}-lesions"))
    if trend and len(trim.course.days) > 1:
        title = gettext(STEPS[trim.course.step])
        drawn.append(_drawn(plot_trend, trim.course, title, f"{key}-trend"))
    if any(share.count for share in trim.stages):
        title = gettext("Stages of digital dermatitis")
        drawn.append(_drawn(plot_stages, trim.stages, title, f"{key}-stages"))
    return drawn


def _trend(head: Headlines) -> Markup:
    """The lines of the visits that the first page speaks of; empty with fewer than two."""
    if head.trim is None or len(head.trim.course.days) < len(("before", "now")):
        return Markup()
    steps = gettext(STEPS[head.trim.course.step])
    title = gettext("How common each lesion was: %(visits)s", visits=steps.lower())
    return _drawn(plot_trend, head.trim.course, title, "head-trend")


def _drawn(plot: Callable[..., str], figures: Hashable, title: str, key: str) -> Markup:
    return _drawn_in(catalogue(), plot, figures, title, key)


@lru_cache(maxsize=32)
def _drawn_in(
    _spoken: object, plot: Callable[..., str], figures: Hashable, title: str, key: str
) -> Markup:
    """The last plots are kept: the same figures in the same language give the same plot."""
    return Markup(plot(figures, title=title, key=key))  # noqa: S704 - plots.py escapes every text


def write_herd_sheet(picture: HerdPicture, out: Path, *, paper: str = "A4") -> Path:
    """Write a page (a name ending in .html) or a PDF; return where it is."""
    if out.suffix.lower() in {".html", ".htm"}:
        return write_whole(out, herd_sheet_html(picture, paper=paper))
    return write_whole(out, herd_sheet_pdf(picture, paper=paper))
