"""The tabs above every page: one for each job, in the order of a day; and the page's icons."""

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from markupsafe import Markup

from dictate.texts import noted

_ICONS = Path(__file__).parent / "icons"
"""Lucide's (ISC, see `icons/LICENSE.txt`), put into the page itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tab:
    """One job."""

    path: str
    name: str
    icon: str
    of: tuple[str, ...]
    """Beginnings of the addresses that belong to it; the longest of all tabs decides."""
    always: bool = False
    """Also on a phone; the others are under "More" there."""

    def holds(self, path: str) -> bool:
        """The address is one of this job's pages."""
        return any(path == one or path.startswith(f"{one.rstrip('/')}/") for one in self.of)


TABS = (
    Tab(path="/", name=noted("Today"), icon="house", of=("/visits", "/entries", "/record", "/first-steps", "/waiting"), always=True),
    Tab(path="/animals", name=noted("Animals"), icon="tag", of=("/animals",), always=True),
    Tab(path="/follow-ups", name=noted("Due"), icon="calendar-clock", of=("/follow-ups",), always=True),
    Tab(path="/herd", name=noted("Herd"), icon="chart-line", of=("/herd",), always=True),
    Tab(path="/bill", name=noted("Sheets and bill"), icon="receipt", of=("/bill",)),
    Tab(path="/farms", name=noted("Farms"), icon="warehouse", of=("/farms", "/roster", "/past")),
    Tab(path="/voice", name=noted("Your voice"), icon="audio-lines", of=("/voice", "/learnt")),
    Tab(path="/settings", name=noted("Settings"), icon="settings", of=("/settings",)),
)  # fmt: skip


@cache
def icon(name: str) -> Markup:
    """One icon as an `<svg>` that readers pass over: the words beside it say what it means."""
    drawn = (_ICONS / f"{name}.svg").read_text(encoding="utf-8")
    shapes = " ".join(
        drawn[drawn.index(">", drawn.index("<svg")) + 1 : drawn.rindex("</svg>")].split()
    )
    return Markup(  # noqa: S704 (our own files)
        '<svg class="icon" aria-hidden="true" viewBox="0 0 24 24">'
        + re.sub(r"> <", "><", shapes)
        + "</svg>"
    )
