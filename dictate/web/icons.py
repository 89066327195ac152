"""Icons of the page: Lucide's (ISC, see `icons/LICENSE.txt`), put into the page itself."""

import re
from functools import cache
from pathlib import Path

from markupsafe import Markup

_FOLDER = Path(__file__).parent / "icons"


@cache
def icon(name: str) -> Markup:
    """One icon as an `<svg>` that readers pass over: the words beside it say what it means."""
    drawn = (_FOLDER / f"{name}.svg").read_text(encoding="utf-8")
    shapes = " ".join(
        drawn[drawn.index(">", drawn.index("<svg")) + 1 : drawn.rindex("</svg>")].split()
    )
    return Markup(  # noqa: S704 (our own files)
        '<svg class="icon" aria-hidden="true" viewBox="0 0 24 24">'
        + re.sub(r"> <", "><", shapes)
        + "</svg>"
    )
