"""Plots of the herd picture as SVG, in black and white, each with its figures in words for readers.

Matplotlib draws; text stays text, in the sheets' wide face, which print always has.
"""

import datetime as dt
import re
from collections.abc import Callable, Sequence
from html import escape
from io import StringIO
from typing import Any

import matplotlib as mpl
import matplotlib.dates
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import text_to_path

from dictate.entry.wording import day
from dictate.record.prevalence import Prevalence, Share, percent
from dictate.record.trend import Course, Stretch
from dictate.texts import gettext, noted, translated, written_month

_LINES = ("-", "--", "-.", ":")
_MARKERS = "osD^vPX*"
_MOST_LINES = 6
"""More lines than this cannot be told apart in print."""
_WRITTEN: dict[str, Callable[[dt.date], str]] = {
    "visit": day, "month": written_month, "year": lambda on: str(on.year),
}  # fmt: skip
_FACE, _SIZE = "DejaVu Sans", 9
_GAP = 0.25
"""Inches beside a text at the edge of a plot."""
_STYLE: dict[Any, Any] = {
    "font.family": _FACE,
    "font.size": _SIZE,
    "svg.hashsalt": "dictate",
    "svg.fonttype": "none",
    "axes.spines.top": False,
    "axes.spines.right": False,
    "hatch.linewidth": 0.6,
}


def plot_prevalence(rows: Sequence[Prevalence], *, title: str, key: str) -> str:
    """Draw one bar a row with its 95 % interval, the commonest on top."""
    shown = [row for row in rows if row.out_of]
    names = [translated(row.lesion) for row in reversed(shown)]
    figure, axes = _figure(7, 0.6 + 0.28 * max(len(shown), 1), left=_width(names), bottom=0.45)
    for at, row in enumerate(reversed(shown)):
        low, high = row.interval
        share = row.count / row.out_of
        axes.barh(at, 100 * share, height=0.6, facecolor="white", edgecolor="black", hatch="////")
        axes.plot([100 * low, 100 * high], [at, at], color="black", marker="|", linewidth=1.4)
    axes.set_yticks(range(len(shown)), names)
    axes.set_xlim(
        0, 100 if not shown else min(100, 1.1 * 100 * max(row.interval[1] for row in shown))
    )
    unit = translated(shown[0].unit if shown else noted("animals"))
    axes.set_xlabel(gettext("%% of %(unit)s looked at; line: 95 %% interval", unit=unit))
    words = "; ".join(
        gettext(
            "%(lesion)s %(percent)s %% (%(count)s of %(total)s)",
            lesion=translated(row.lesion),
            percent=row.percent,
            count=row.count,
            total=row.out_of,
        )
        for row in shown
    )
    return _svg(figure, title, words, key)


def plot_trend(course: Course, *, title: str, key: str) -> str:
    """Draw one line a lesion over the visits, months or years, the commonest lesions at the last."""
    lines: dict[str, list[Stretch]] = {}
    for point in course.points:
        lines.setdefault(point.lesion, []).append(point)
    shown = sorted(lines.items(), key=lambda item: -item[1][-1].count)[:_MOST_LINES]
    names = [translated(lesion) for lesion, _ in shown]
    figure, axes = _figure(7, 3.1, right=_width(names) + 0.7, bottom=0.55)
    for at, (_, some) in enumerate(shown):
        axes.plot(
            mpl.dates.date2num([point.on for point in some]),
            [100 * point.count / point.out_of for point in some],
            color="black",
            linestyle=_LINES[at % len(_LINES)],
            marker=_MARKERS[at % len(_MARKERS)],
            markerfacecolor="white",
            label=names[at],
        )
    axes.set_ylim(bottom=0)
    axes.set_ylabel(gettext("%% of animals looked at"))
    written = _WRITTEN[course.step]
    axes.xaxis.set_major_formatter(lambda x, _: written(mpl.dates.num2date(x).date()))
    axes.set_xticks(mpl.dates.date2num(_some(course.days)))
    axes.tick_params(axis="x", labelrotation=20)
    if shown:
        axes.legend(
            frameon=False, loc="upper left", bbox_to_anchor=(1, 1), handlelength=3.5, fontsize=_SIZE,
        )  # fmt: skip
    words = "; ".join(
        f"{translated(lesion)} {', '.join(f'{p.percent} %' for p in some)}"
        for lesion, some in shown
    )
    return _svg(figure, title, words, key)


def plot_stages(stages: Sequence[Share], *, title: str, key: str) -> str:
    """Draw the stages of digital dermatitis as bars."""
    figure, axes = _figure(7, 1.9, bottom=0.3)
    values = [100 * share.count / share.out_of if share.out_of else 0 for share in stages]
    bars = axes.bar([str(share.value) for share in stages], values, facecolor="white", edgecolor="black", hatch="////")  # fmt: skip
    axes.bar_label(bars, [str(share.count) for share in stages], padding=2)
    axes.set_ylabel(gettext("%% of staged feet"))
    words = "; ".join(
        f"{share.value} {percent(share.count, share.out_of)} % ({share.count})" for share in stages
    )
    return _svg(figure, title, words, key)


def _some(days: Sequence[object], most: int = 8) -> list[object]:
    step = max(1, -(-len(days) // most))
    return list(days[::-1][::step])[::-1]


def _width(names: Sequence[str]) -> float:
    """The longest of some texts, in inches."""
    face = FontProperties(family=_FACE, size=_SIZE)
    long = (text_to_path.get_text_width_height_descent(name, face, ismath=False)[0] for name in names)  # fmt: skip
    return max(long, default=0) / 72


def _figure(
    width: float, height: float, *, bottom: float, left: float = 0.35, right: float = 0.0
) -> tuple[Figure, Axes]:
    """A plot with so much room for its texts, all in inches.

    Matplotlib can find the room itself, by drawing everything once more: two fifths of the whole time.
    """
    left, right = left + _GAP, right + _GAP / 2
    with mpl.rc_context(_STYLE):
        figure = Figure(figsize=(width, height))
        room = (left / width, bottom / height, 1 - (left + right) / width, 1 - (bottom + 0.12) / height)  # fmt: skip
        return figure, figure.add_axes(room)


def _svg(figure: Figure, title: str, words: str, key: str) -> str:
    out = StringIO()
    with mpl.rc_context(_STYLE):
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    body = out.getvalue()
    body = body[body.index("<svg") :]
    # Ids must differ between the plots of one page.
    body = re.sub(r'id="', f'id="{key}-', body)
    body = re.sub(r'(xlink:href="|url\()#', rf"\g<1>#{key}-", body)
    body = body.replace("'DejaVu Sans'", "'Sheet wide', 'DejaVu Sans', sans-serif")
    head, _, rest = body.partition(">")
    head = re.sub(r' (width|height)="[^"]*"', "", head)
    label = f'role="img" aria-labelledby="{key}-title {key}-desc" class="plot"'
    named = f'<title id="{key}-title">{escape(title)}</title><desc id="{key}-desc">{escape(words)}</desc>'
    return f"{head} {label}>{named}{rest}"
