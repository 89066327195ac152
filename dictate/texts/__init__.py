"""The words of the page in the language that was chosen, through one gettext catalogue.

English is the source: what stands in the code and in the templates is English, and is what is shown
where a catalogue lacks a text. Another language is a folder with one file beside this module,
`<language>/LC_MESSAGES/messages.po` (docs/how-to/translate.md). A text is a whole sentence or label;
what varies in it is named: `gettext("Cow %(number)s is new", number="412")`; a per cent sign is `%%`.
"""

import datetime as dt
import gettext as _gettext
from io import BytesIO
from pathlib import Path

FOLDER = Path(__file__).parent
TEMPLATE = FOLDER / "messages.pot"
"""Every text, for translators; made by `python -m dictate.texts.collect`."""
_MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()
SOURCE = "en"
"""The language of the texts themselves."""


class _Chosen:
    """What is spoken now. One person works with one program, so it holds for all of it."""

    language = SOURCE
    catalogue: _gettext.NullTranslations = _gettext.NullTranslations()


def catalogues() -> dict[str, Path]:
    """The catalogue of each language but English."""
    return {path.parents[1].name: path for path in sorted(FOLDER.glob("*/LC_MESSAGES/messages.po"))}


def languages() -> list[str]:
    """Every language that the page can be shown in, English first."""
    return [SOURCE, *catalogues()]


def language() -> str:
    """The language that is spoken now, as a code such as `en` or `pt_BR`."""
    return _Chosen.language


def catalogue() -> _gettext.NullTranslations:
    """What is spoken with now."""
    return _Chosen.catalogue


def choose(code: str) -> None:
    """Speak a language from now on.

    Raises:
        KeyError: there is no catalogue of it.
    """
    speak(code, _gettext.NullTranslations() if code == SOURCE else read(catalogues()[code]))


def read(path: Path) -> _gettext.GNUTranslations:
    """The catalogue of a `.po` file."""
    from babel.messages.mofile import write_mo  # noqa: PLC0415 (English needs no Babel)
    from babel.messages.pofile import read_po  # noqa: PLC0415

    compiled = BytesIO()
    with path.open("rb") as file:
        write_mo(compiled, read_po(file))
    compiled.seek(0)
    return _gettext.GNUTranslations(compiled)


def speak(code: str, catalogue: _gettext.NullTranslations) -> None:
    """Speak with a catalogue that is at hand."""
    _Chosen.language, _Chosen.catalogue = code, catalogue


def gettext(text: str, /, **values: object) -> str:
    """A text in the language that was chosen, with its values put in."""
    return _Chosen.catalogue.gettext(text) % values


def ngettext(one: str, many: str, number: int, /, **values: object) -> str:
    """The text for a number of things; `%(num)s` is that number."""
    return _Chosen.catalogue.ngettext(one, many, number) % {"num": grouped(number), **values}


def translated(text: str) -> str:
    """A word of ours that data carries (a status, a reason), in the language; anything else as it is."""
    return _Chosen.catalogue.gettext(text) if text else text


def noted(text: str) -> str:
    """Mark a text where it is written; `gettext` or `translated` says it where it is shown."""
    return text


def written_day(day: dt.date) -> str:
    """`2 Mar 2026`, as the language writes it."""
    if _Chosen.language == SOURCE:
        # Not strftime's %b: that follows the computer's language.
        return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"
    from babel.dates import format_date  # noqa: PLC0415

    return format_date(day, "medium", locale=_Chosen.language)


def written_month(day: dt.date) -> str:
    """`Mar 2026`, as the language writes it."""
    if _Chosen.language == SOURCE:
        return f"{_MONTHS[day.month - 1]} {day.year}"
    from babel.dates import format_skeleton  # noqa: PLC0415

    return format_skeleton("yMMM", day, locale=_Chosen.language)


def language_name(code: str) -> str:
    """What a language calls itself: `English`, `Nederlands`."""
    if code == SOURCE:
        return "English"
    from babel import Locale  # noqa: PLC0415

    return str(Locale.parse(code).display_name).capitalize()


def grouped(number: int) -> str:
    """`1,234`, as the language writes it."""
    if _Chosen.language == SOURCE:
        return f"{number:,}"
    from babel.numbers import format_decimal  # noqa: PLC0415 (English needs no Babel)

    return format_decimal(number, locale=_Chosen.language)
