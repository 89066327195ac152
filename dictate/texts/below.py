"""Sentences that are made below the page, found again in the catalogue where the page shows them.

The checks of the grammar, the hearing and the reading of files say what they found in English and with
its values in it, and much of it is kept so in the record. Nothing there knows of languages. For the
catalogue `dictate.texts.collect` reads their source and makes a text of each such sentence, with a
name for each value; here a sentence is matched with these texts, and its values go into the translation.
"""

import re
from collections.abc import Iterator
from functools import cache, lru_cache
from gettext import NullTranslations
from typing import TYPE_CHECKING

from dictate import texts

if TYPE_CHECKING:
    from babel.messages import Catalog

COMMENT = "Said below the page; its values are put in as they stand."
"""What the catalogue notes beside such a text; it is found by this."""
AS_HEARD = ("heard", "said", "words")
"""Names of values that were heard or typed: no language changes them."""
_AND, _OR = texts.noted(" and "), texts.noted(" or ")
LEXICON = "grammar/lexicon"
"""Where the catalogue says that a term of the lexicon comes from."""
_OF_TERMS = (LEXICON, "dictate/entry/terms.py", "dictate/texts/below.py")
"""Where the catalogue's terms come from: those that stand beside each other in a sentence."""
SLOTS = (
    texts.noted("zone"), texts.noted("stage"), texts.noted("severity"), texts.noted("course"),
    texts.noted("locomotion"),
)  # fmt: skip
"""Slots that sentences name by themselves: `locomotion: 3 or 4`."""
_BETWEEN = re.compile(r"( and | or |, |; |: |[?()])")
_VALUE = re.compile(r"%\((\w+)\)s")
_DEEP = 3
"""Sentences stand in sentences: of a refused row, the reason."""


def told(sentence: str) -> str:
    """A sentence of the layers below, or a term, in the language that was chosen."""
    if not sentence or texts.language() == texts.SOURCE:
        return sentence
    return _told(sentence, texts.catalogue(), _DEEP)


def _told(sentence: str, catalogue: NullTranslations, deep: int) -> str:
    known = _known(sentence, catalogue, deep)
    return _term_by_term(sentence, catalogue) if known is None else known


@lru_cache(maxsize=20_000)
def _known(sentence: str, catalogue: NullTranslations, deep: int) -> str | None:
    """A sentence that is one of the texts, with its values; else nothing."""
    written = sentence.replace("%", "%%")
    if (known := catalogue.gettext(written)) != written:
        return known.replace("%%", "%")
    if deep:
        fits = ((text, pattern.fullmatch(sentence)) for text, pattern in _patterns())
        made = [_made(text, found, catalogue, deep) for text, found in fits if found]
        if made:
            return min(made, key=lambda one: one[0])[1]
    return None


def _made(
    text: str, found: re.Match[str], catalogue: NullTranslations, deep: int
) -> tuple[int, str]:
    """A sentence by one of its texts, with how many letters of its values stay as they were."""
    values, left = {}, 0
    for name, value in found.groupdict().items():
        values[name] = value
        if not name.startswith(AS_HEARD):
            values[name] = _value(value, catalogue, deep - 1)
            left += sum(map(str.isalpha, value)) if values[name] == value else 0
    return left, catalogue.gettext(text) % values


def _value(value: str, catalogue: NullTranslations, deep: int) -> str:
    """What stands in a sentence: another one, or several in a row."""
    if (known := _known(value, catalogue, deep)) is not None:
        return known
    parts = re.split(r"(; |, )", value)
    each = [part if at % 2 else _told(part, catalogue, deep) for at, part in enumerate(parts)]
    if all(told != part for told, part in zip(each[::2], parts[::2], strict=True)):
        return "".join(each)
    return _term_by_term(value, catalogue)


def _term_by_term(listed: str, catalogue: NullTranslations) -> str:
    """Terms in a row, such as `zone: 4 or 5`, beside each other, or in quotes; anything else stays."""
    return "".join(
        catalogue.gettext(part) if part in (_AND, _OR) else _terms(part, catalogue)
        for part in _BETWEEN.split(listed)
    )


def _terms(row: str, catalogue: NullTranslations) -> str:
    """`left hind inner`: each longest term that begins where the one before ends."""
    parts = re.split(r"( |'|\")", row)
    said, at = "", 0
    while at < len(parts):
        ends = range(len(parts), at, -1)
        end = next((end for end in ends if "".join(parts[at:end]) in _known_terms()), at + 1)
        term = "".join(parts[at:end])
        said += catalogue.gettext(term) if term in _known_terms() else term
        at = end
    return said


@cache
def _known_terms() -> frozenset[str]:
    """Terms of the lexicon, and the few names that sentences put in by themselves."""
    return frozenset(
        str(one.id)
        for one in _collected()
        if any(file in _OF_TERMS for file, _line in one.locations)
    )


@cache
def _patterns() -> list[tuple[str, re.Pattern[str]]]:
    """The texts that hold values, those with most letters of their own first."""
    made = [(text, _pattern(text)) for text in _texts() if _VALUE.search(text)]
    return sorted(made, key=lambda one: -len(_VALUE.sub("", one[0])))


def _pattern(text: str) -> re.Pattern[str]:
    parts = _VALUE.split(text)  # text, name, text, name, text
    return re.compile(
        "".join(
            f"(?P<{part}>.*?)" if at % 2 else re.escape(part.replace("%%", "%"))
            for at, part in enumerate(parts)
        ),
        re.DOTALL,
    )


def _texts() -> Iterator[str]:
    return (str(one.id) for one in _collected() if COMMENT in one.auto_comments)


def _collected() -> "Catalog":
    from babel.messages.pofile import read_po  # noqa: PLC0415 (English needs no Babel)

    with texts.TEMPLATE.open("rb") as file:
        return read_po(file)
