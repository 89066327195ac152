"""Collect every text of the page for translators: `python -m dictate.texts.collect`.

It writes `messages.pot` anew, brings what is new into the catalogue of each language, and says what
does not fit there. The texts stand in `_()`, `gettext()`, `ngettext()` and `noted()`, in Python, in
templates and in scripts.
"""

import re
import sys
import tomllib
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import BinaryIO

from babel.messages import Catalog, Message
from babel.messages.extract import DEFAULT_KEYWORDS, extract_from_dir
from babel.messages.pofile import read_po, write_po

from dictate import texts

_PROGRAM = texts.FOLDER.parent
_METHODS = [
    ("**.py", "python"),
    ("web/templates/**.html", "jinja2"),
    ("sheets/templates/**.html", "jinja2"),
    ("web/static/**.js", "javascript"),
    ("review/order.toml", "dictate.texts.collect:texts_of_data"),
    ("sheets/claw_map.toml", "dictate.texts.collect:texts_of_data"),
]
_OPTIONS = {one: {"silent": "false"} for one, method in _METHODS if method == "jinja2"}
_KEYWORDS = {**DEFAULT_KEYWORDS, "noted": None}


def collected() -> Catalog:
    """Every text that the page may say, each with the files that say it."""
    catalogue = Catalog(project="dictate", charset="utf-8", fuzzy=False)
    found = extract_from_dir(_PROGRAM, _METHODS, _OPTIONS, keywords=_KEYWORDS)
    for file, _line, message, comments, context in sorted(found, key=lambda one: one[:2]):
        where = [(f"dictate/{Path(file).as_posix()}", 0)]
        catalogue.add(message, None, where, auto_comments=comments, context=context)
    return catalogue


def texts_of_data(
    file: BinaryIO, keywords: object, comment_tags: object, options: object
) -> Iterator[tuple[int, str, str, list[str]]]:
    """Groups of the queue and why each stands where it does; zones in words (a Babel extractor)."""
    data = tomllib.load(file)
    for group in data.get("group", ()):
        yield from ((0, "gettext", text, []) for text in (group["name"], group["why"]))
    yield from ((0, "gettext", text, []) for text in data.get("words", {}).values())


def written(catalogue: Catalog) -> bytes:
    """A catalogue as its file holds it: without days, lines and widths, which change by themselves."""
    out = BytesIO()
    write_po(
        out,
        catalogue,
        width=0,
        omit_header=not catalogue.locale,
        sort_by_file=True,
        include_lineno=False,
    )
    return out.getvalue()


def brought_up(path: Path, template: Catalog) -> Catalog:
    """The catalogue of a language with the texts that there are now; what was reworded is fuzzy."""
    with path.open("rb") as file:
        catalogue = read_po(file)
    made = catalogue.creation_date
    catalogue.update(template)
    catalogue.creation_date = made
    return catalogue


def faults(catalogue: Catalog) -> Iterator[str]:
    """What is wrong with translations: values, plural forms or elements that are not the English ones."""
    for message in catalogue:
        if not message.id or message.fuzzy or not any(_forms(message.string)):
            continue
        told = [str(error) for error in message.check(catalogue)]
        wanted = _elements(_forms(message.id)[-1])
        if any(_elements(one) != wanted for one in _forms(message.string)):
            told.append("elements such as <strong> are not those of the English")
        yield from (f"{_forms(message.id)[0]!r}: {one}" for one in told)


def _forms(text: str | tuple[str, ...] | list[str] | None) -> tuple[str, ...]:
    return (text,) if isinstance(text, str) else tuple(text or ())


def _elements(text: str) -> list[str]:
    return sorted(re.findall(r"<[^>]*>", text))


def _is_translated(message: Message) -> bool:
    forms = _forms(message.string)
    return bool(message.id and forms) and all(forms) and not message.fuzzy


def main() -> int:
    """Write the template, bring every catalogue up to it, and say what does not fit."""
    template = collected()
    texts.TEMPLATE.write_bytes(written(template))
    wrong = 0
    for code, path in texts.catalogues().items():
        catalogue = brought_up(path, template)
        path.write_bytes(written(catalogue))
        done = sum(map(_is_translated, catalogue))
        print(f"{code}: {done} of {len(catalogue)} texts are translated")  # noqa: T201
        for fault in faults(catalogue):
            print(f"{code}: {fault}", file=sys.stderr)  # noqa: T201
            wrong += 1
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
