"""Collect every text of the page for translators: `python -m dictate.texts.collect`.

It writes `messages.pot` anew, and brings what is new into the catalogue of each language. The texts
stand in `_()`, `gettext()`, `ngettext()` and `noted()`, in Python, in templates and in scripts.
"""

from io import BytesIO
from pathlib import Path

from babel.messages import Catalog
from babel.messages.extract import DEFAULT_KEYWORDS, extract_from_dir
from babel.messages.pofile import read_po, write_po

from dictate import texts

TEMPLATE = texts.FOLDER / "messages.pot"
_PROGRAM = texts.FOLDER.parent
_METHODS = [
    ("**.py", "python"),
    ("web/templates/**.html", "jinja2"),
    ("web/static/**.js", "javascript"),
]
_OPTIONS = {"web/templates/**.html": {"silent": "false"}}
_KEYWORDS = {**DEFAULT_KEYWORDS, "noted": None}


def collected() -> Catalog:
    """Every text that the page may say, each with the files that say it."""
    catalogue = Catalog(project="dictate", charset="utf-8", fuzzy=False)
    found = extract_from_dir(
        _PROGRAM, _METHODS, _OPTIONS, keywords=_KEYWORDS, comment_tags=("For translators:",),
        strip_comment_tags=True,
    )  # fmt: skip
    for file, _line, message, comments, context in sorted(found, key=lambda one: one[:2]):
        where = [(f"dictate/{Path(file).as_posix()}", 0)]
        catalogue.add(message, None, where, auto_comments=comments, context=context)
    return catalogue


def written(catalogue: Catalog) -> bytes:
    """A catalogue as its file holds it: without days, lines and widths, which change by themselves."""
    out = BytesIO()
    write_po(
        out, catalogue, width=0, omit_header=not catalogue.locale,
        sort_by_file=True, include_lineno=False,
    )  # fmt: skip
    return out.getvalue()


def main() -> None:
    """Write the template, and bring every catalogue up to it; what fits no more is marked fuzzy."""
    template = collected()
    TEMPLATE.write_bytes(written(template))
    for path in texts.catalogues().values():
        with path.open("rb") as file:
            catalogue = read_po(file)
        catalogue.update(template)
        path.write_bytes(written(catalogue))


if __name__ == "__main__":
    main()
