"""How pages write dates, times and numbers."""

import datetime as dt
import re
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from dictate.entry.terms import FOOT_NAMES
from dictate.entry.values import EntryValues
from dictate.entry.wording import say_entry
from dictate.review.card import UNCLEAR
from dictate.settings import named
from dictate.texts import gettext, ngettext, translated, written_day
from dictate.texts.below import told
from dictate.web.showing import drawn
from grammar.hear.words import UNKNOWN

_CENTS = 2


def day(value: dt.date | None) -> str:
    """`2 Mar 2026`, as on sheets; words when there is none."""
    return gettext("no date") if value is None else written_day(value)


def clock(value: dt.datetime | None) -> str:
    """`09:14` on this computer's clock; nothing when unknown."""
    return "" if value is None else f"{value.astimezone():%H:%M}"


def about(seconds: float) -> str:
    """A length of time as a person would guess it."""
    if seconds < 50:
        return gettext("less than a minute")
    minutes = round(seconds / 60)
    if minutes < 60:
        return ngettext("about %(num)s minute", "about %(num)s minutes", minutes)
    hours, rest = divmod(minutes, 60)
    if not rest:
        return ngettext("about %(num)s hour", "about %(num)s hours", hours)
    return ngettext(
        "about %(num)s hour %(rest)s min", "about %(num)s hours %(rest)s min", hours, rest=rest
    )


def money(amount: Decimal) -> str:
    """An amount with two decimals, or with more where it has them."""
    return str(amount) if -amount.as_tuple().exponent > _CENTS else f"{amount:.{_CENTS}f}"  # type: ignore[operator]


def said(content: dict[str, Any]) -> str:
    """An entry's content as plain words."""
    return say_entry(EntryValues.model_validate(content))


def of_page(text: str) -> str:
    """A sentence without what is to be typed in a terminal: nothing here needs one."""
    said = ". ".join(map(told, text.rstrip(".").split(". ")))
    kept = [
        part
        for part in re.split(r"(?<=[.;]) ", re.sub(r" ?\([^()]*--[a-z][^()]*\)", "", said))
        if not re.search(r"\bdictate [a-z]", part)
    ]
    left = " ".join(kept).rstrip(".; ")
    return f"{left[:1].upper()}{left[1:]}." if left else ""


def readable(text: str) -> str:
    """A mark's text as the card shows it: heard words in “ ”, unknown ones as unclear."""
    sign = re.escape(UNKNOWN)
    shown = re.sub(f"{sign}(?: {sign})*", translated(UNCLEAR), told(text))
    return re.sub(r"(?<!\w)'([^']*)'(?!\w)", r"“\1”", shown)


def marked(values: EntryValues) -> list[str]:
    """What the marks of an entry say, each in some words; for lists."""
    details = [readable(one.what) for one in values.mark_details]
    return details or [one.replace("-", " ") for one in values.marks]


def feet(text: str) -> str:
    """Words with the letters of feet spelt out: `LH outer sole ulcer` as `left hind outer sole ulcer`."""
    return re.sub(r"\b[LR][FH]\b", lambda found: translated(FOOT_NAMES[found.group()]), text)


def unnamed(sentence: str) -> str:
    """An entry's sentence without the animal, where a heading names it."""
    return sentence.partition(": ")[2] or sentence


def stop(text: str) -> str:
    """A sentence with a capital at its start and one full stop at its end."""
    plain = told(text).strip().rstrip(".")
    return f"{plain[:1].upper()}{plain[1:]}{'' if plain[-1] in '?!' else '.'}" if plain else ""


FILTERS: dict[str, Callable[..., Any]] = {
    "day": day,
    "clock": clock,
    "about": about,
    "money": money,
    "of_page": of_page,
    "said": said,
    "told": told,
    "readable": readable,
    "marked": marked,
    "feet": feet,
    "unnamed": unnamed,
    "stop": stop,
    "named": named,
    "drawn": drawn,
}
