"""The sheets' page templates; everything put into them is escaped."""

from functools import cache
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from dictate.texts import gettext
from dictate.texts.saying import say_through_the_catalogue


def render(template: str, **values: Any) -> str:
    """Fill a template of `dictate/sheets/templates`."""
    return _environment().get_template(template).render(**values)


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("dictate.sheets", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    say_through_the_catalogue(environment)
    environment.globals.update(style=_style, page_of_pages=_page_of_pages)
    environment.filters["css_text"] = _css_text
    return environment


@cache
def _style(name: str) -> Markup:
    return Markup((files("dictate.sheets") / "templates" / name).read_text("utf-8"))  # noqa: S704 - our own file


def _page_of_pages() -> Markup:
    """`Page 1 of 2` for the margin of a style sheet, in the order of the language's words."""
    said = gettext("Page %(page)s of %(pages)s", page="\x00page\x00", pages="\x00pages\x00")
    parts = said.split("\x00")
    words = [f"counter({one})" if at % 2 else _css_text(one) for at, one in enumerate(parts) if one]
    return Markup(" ").join(map(Markup, words))


def _css_text(text: str) -> Markup:
    """Write any text as a string of a style sheet; every sign but letters and digits is escaped."""
    signs = (sign if sign.isascii() and sign.isalnum() else f"\\{ord(sign):x} " for sign in text)
    return Markup(f'"{"".join(signs)}"')  # noqa: S704 - nothing in it can end the string
