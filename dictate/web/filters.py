"""How pages write dates, times and numbers."""

import datetime as dt
import re
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from dictate.entry.values import EntryValues
from dictate.entry.wording import day as in_words
from dictate.entry.wording import say_entry
from dictate.review.card import UNCLEAR
from dictate.web.showing import drawn
from grammar.hear.words import UNKNOWN

__all__ = [
    "FILTERS",
    "clock",
    "counted",
    "day",
    "duration",
    "money",
    "of_page",
    "readable",
    "said",
    "stop",
]

_CENTS = 2


def day(value: dt.date | None) -> str:
    """`2 Mar 2026`, as on sheets; words when there is none."""
    return "no date" if value is None else in_words(value)


def clock(value: dt.datetime | None) -> str:
    """`09:14` on this computer's clock; nothing when unknown."""
    return "" if value is None else f"{value.astimezone():%H:%M}"


def duration(seconds: float) -> str:
    """A length of time as a person would say it."""
    if seconds < 50:
        return "less than a minute"
    minutes = round(seconds / 60)
    if minutes < 60:
        return counted(minutes, "minute")
    hours, rest = divmod(minutes, 60)
    return f"{counted(hours, 'hour')} {rest} min" if rest else counted(hours, "hour")


def counted(number: int, noun: str, many: str | None = None) -> str:
    """`1 note`, `2 notes`."""
    return f"{number:,} {noun if number == 1 else many or noun + 's'}"


def money(amount: Decimal) -> str:
    """An amount with two decimals, or with more where it has them."""
    return str(amount) if -amount.as_tuple().exponent > _CENTS else f"{amount:.{_CENTS}f}"  # type: ignore[operator]


def said(content: dict[str, Any]) -> str:
    """An entry's content as plain words."""
    return say_entry(EntryValues.model_validate(content))


def of_page(text: str) -> str:
    """A sentence without what is to be typed in a terminal: nothing here needs one."""
    kept = [
        part for part in re.split(r"(?<=[.;]) ", text) if not re.search(r"\bdictate [a-z]", part)
    ]
    told = " ".join(kept).rstrip(".; ")
    return f"{told[:1].upper()}{told[1:]}." if told else ""


def readable(text: str) -> str:
    """A mark's text with the recogniser's sign for an unknown word as the card shows it."""
    sign = re.escape(UNKNOWN)
    return re.sub(f"{sign}(?: {sign})*", UNCLEAR, text)


def stop(text: str) -> str:
    """A sentence with a capital at its start and one full stop at its end."""
    plain = text.strip().rstrip(".")
    return f"{plain[:1].upper()}{plain[1:]}." if plain else ""


FILTERS: dict[str, Callable[..., Any]] = {
    "day": day,
    "clock": clock,
    "duration": duration,
    "money": money,
    "of_page": of_page,
    "counted": counted,
    "said": said,
    "readable": readable,
    "stop": stop,
    "drawn": drawn,
}
