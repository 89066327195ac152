"""The sheets' page templates; everything put into them is escaped."""

from functools import cache
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup


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
    environment.globals["style"] = _style
    environment.filters["css_text"] = _css_text
    return environment


@cache
def _style(name: str) -> Markup:
    return Markup((files("dictate.sheets") / "templates" / name).read_text("utf-8"))  # noqa: S704 - our own file


def _css_text(text: str) -> Markup:
    """Write any text as a string of a style sheet; every sign but letters and digits is escaped."""
    signs = (sign if sign.isascii() and sign.isalnum() else f"\\{ord(sign):x} " for sign in text)
    return Markup(f'"{"".join(signs)}"')  # noqa: S704 - nothing in it can end the string
