"""How templates say things: `_("Cow %(number)s", number=…)` and `ngettext`, out of the catalogue.

A text may hold elements of its own; what is put into it is escaped.
"""

from functools import cache
from gettext import NullTranslations

from jinja2 import Environment
from markupsafe import Markup, escape

from dictate import texts


def _gettext(text: str, /, **values: object) -> Markup:
    if not values:
        return _plain(text, texts.catalogue())
    return Markup(texts.gettext(text, **_escaped(values)))  # noqa: S704 (a text of ours)


def _ngettext(one: str, many: str, number: int, /, **values: object) -> Markup:
    return Markup(texts.ngettext(one, many, number, **_escaped(values)))  # noqa: S704


@cache
def _plain(text: str, _catalogue: NullTranslations) -> Markup:
    return Markup(texts.gettext(text))  # noqa: S704


def _said_by_scripts() -> dict[str, str]:
    """What the page brings along for its scripts: nothing in English, which they hold themselves."""
    if texts.language() == texts.SOURCE:
        return {}
    return {text: texts.translated(text) for text in _texts_of_scripts()}


@cache
def _texts_of_scripts() -> tuple[str, ...]:
    from babel.messages.pofile import read_po  # noqa: PLC0415 (English needs no Babel)

    with texts.TEMPLATE.open("rb") as file:
        collected = read_po(file)
    return tuple(
        str(one.id)
        for one in collected
        if any(where.endswith(".js") for where, _line in one.locations)
    )


def _escaped(values: dict[str, object]) -> dict[str, object]:
    return {name: escape(value) for name, value in values.items()}


def say_through_the_catalogue(environment: Environment) -> None:
    """Give templates `_` and `ngettext`, `translated` for words that data carries, and the language.

    `gettext` is the same as plain text, for a style sheet.
    """
    environment.globals.update(
        _=_gettext,
        gettext=texts.gettext,
        ngettext=_ngettext,
        translated=texts.translated,
        said_by_scripts=_said_by_scripts,
        language=texts.language,
    )
