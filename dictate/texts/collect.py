"""Collect every text of the page for translators: `python -m dictate.texts.collect`.

It writes `messages.pot` anew, brings what is new into the catalogue of each language, and says what
does not fit there. The texts stand in `_()`, `gettext()`, `ngettext()` and `noted()`, in Python, in
templates and in scripts. What the layers below the page say without them, the terms of the lexicon
and the glossary are read where they stand.
"""

import re
import sys
import tomllib
from collections.abc import Iterator
from io import BytesIO
from itertools import chain
from pathlib import Path
from typing import BinaryIO

from babel.messages import Catalog, Message
from babel.messages.extract import DEFAULT_KEYWORDS, extract_from_dir
from babel.messages.pofile import read_po, write_po

from dictate import texts
from dictate.texts.below import COMMENT, LEXICON
from dictate.texts.glossary import read_glossary
from dictate.texts.sentences import sentences
from grammar import load_lexicon

_PROGRAM = texts.FOLDER.parent
_PROJECT = _PROGRAM.parent
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
_BELOW = (
    "grammar/checks/*.py", "grammar/hear/*.py", "grammar/join/*.py", "dictate/decoder/terms.py", "dictate/doctor.py",
    "dictate/entry/checking.py", "dictate/exchange/past/*.py", "dictate/exchange/roster/*.py",
    "dictate/errors.py", "dictate/hearing/*.py", "dictate/measuring/*.py", "dictate/notes/*.py", "dictate/record/*.py",
    "dictate/settings.py", "dictate/sound/*.py", "dictate/store/*.py", "dictate/voice/*.py",
    "dictate/written.py",
)  # fmt: skip
"""What says sentences without the catalogue; `dictate.texts.below` finds them there again."""
_TERMS = frozenset(
    {
        "ACTION", "CLAW", "COMMAND", "COURSE", "FOLLOWUP", "LESION", "OBJECT", "REGION", "SEVERITY",
        "STATUS", "TISSUE", "TOLD",
    }
)  # fmt: skip
"""Kinds of terms whose values are ours; materials and times stay in the speaker's own words."""


def collected() -> Catalog:
    """Every text that the page may say, each with the files that say it."""
    catalogue = Catalog(project="dictate", charset="utf-8", fuzzy=False)
    found = extract_from_dir(_PROGRAM, _METHODS, _OPTIONS, keywords=_KEYWORDS)
    for file, _line, message, comments, context in sorted(found, key=lambda one: one[:2]):
        where = [(f"dictate/{Path(file).as_posix()}", 0)]
        catalogue.add(message, None, where, auto_comments=comments, context=context)
    for text, file in _said_below():
        catalogue.add(text, None, [(file, 0)], auto_comments=[COMMENT])
    for text, file in (*_terms(), *_glossary()):
        catalogue.add(text.replace("%", "%%"), None, [(file, 0)])
    return catalogue


def _said_below() -> Iterator[tuple[str, str]]:
    for path in sorted(path for pattern in _BELOW for path in _PROJECT.glob(pattern)):
        for text in sentences(path.read_text(encoding="utf-8")):
            yield text, path.relative_to(_PROJECT).as_posix()
    risks = "grammar/lexicon/risks.toml"
    for risk in tomllib.loads((_PROJECT / risks).read_text(encoding="utf-8"))["risk"]:
        # Its question is data: "is the {thing} on her now?".
        yield re.sub(r"\{(\w+)\}", r"%(\1)s", risk["ask"].replace("%", "%%")), risks


def _terms() -> Iterator[tuple[str, str]]:
    """The values that what is said is kept as: lesions, actions, the state of an animal."""
    terms = load_lexicon().terms.values()
    values = {term.value for term in terms if term.tag in _TERMS and isinstance(term.value, str)}
    return ((value, LEXICON) for value in sorted(values))


def _glossary() -> Iterator[tuple[str, str]]:
    """Titles, words and meanings of the docs' glossary, which the page shows."""
    for title, meanings in read_glossary(
        (_PROJECT / "docs" / "glossary.md").read_text(encoding="utf-8")
    ).items():
        yield from ((text, "docs/glossary.md") for text in (title, *chain(*meanings)))


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
