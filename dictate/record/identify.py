"""Animal numbers: the 15-digit electronic number and national ear tags.

Sources: ISO 11784 (three-digit country or manufacturer code, twelve-digit national number; no check
digit among the fifteen), Regulation (EU) 2021/520 Article 12 (letters or three digits for the
country), and the rules named in `ear_tags.toml`. Nothing here blocks a number: what looks wrong
is said as a warning, because the animal stands there whatever its tag says.
"""

import re
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

import pycountry

from dictate.errors import RosterError

_LOWEST_MANUFACTURER = 900
_TEST_CODE = 999
_NAMED = 3
"""Animals that a line about a herd names."""
_SEPARATORS = re.compile(r"[\s.\-/]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class ElectronicNumber:
    """A 15-digit number as read from a transponder."""

    digits: str
    kind: str
    """country, manufacturer, test or unknown."""
    holder: str
    """Name of the country; empty for manufacturers."""
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class EarTag:
    """A national ear tag, without spaces."""

    text: str
    country: str
    """Two letters as printed, or three digits."""
    digits: str
    warnings: tuple[str, ...] = ()


def read_electronic_number(text: str) -> ElectronicNumber:
    """Split a 15-digit number; raise RosterError when it does not have fifteen digits."""
    digits = _SEPARATORS.sub("", text)
    if not re.fullmatch(r"[0-9]{15}", digits):
        raise RosterError(
            f"{text!r} is not an electronic number: it needs 15 digits, this has {len(digits)} characters",
            remedy="Read the tag again, or leave the column empty",
        )
    prefix, national = digits[:3], digits[3:]
    kind, holder = _holder(prefix)
    warnings = []
    if kind == "unknown":
        warnings.append(f"{prefix} is no country code of ISO 3166 and no manufacturer code")
    if kind == "test":
        warnings.append("999 is for test transponders, not for animals")
    if int(national) == 0:
        warnings.append("the national number is all zeros")
    return ElectronicNumber(digits=digits, kind=kind, holder=holder, warnings=tuple(warnings))


def read_ear_tag(text: str) -> EarTag:
    """Split an ear tag and check its check digit where a rule is published.

    Raises RosterError when the text has no country (two letters or three digits) and number.
    """
    plain = _SEPARATORS.sub("", text).upper()
    match = re.fullmatch(r"([A-Z]{2})([0-9]{1,12})", plain) or re.fullmatch(
        r"([0-9]{3})([0-9]{12})", plain
    )
    if not match:
        raise RosterError(
            f"{text!r} is not a national ear tag: it needs two letters or three digits for the country "
            "and up to twelve digits",
            remedy="Read the tag again, or put it in the management number column",
        )
    country, digits = match.group(1), match.group(2)
    return EarTag(
        text=plain, country=country, digits=digits, warnings=_tag_warnings(country, digits)
    )


def herd_warnings(animals: Iterable[tuple[str, str | None, str | None]]) -> list[str]:
    """Return what looks wrong in a roster, one line for each kind of fault, the commonest first.

    `animals` are management number, electronic number and ear tag. A line counts its animals and
    names the first few, with what stands there.
    """
    by_kind: dict[str, list[tuple[str, str]]] = {}
    for number, eid, ear_tag in animals:
        for text, warning in _warnings(eid, ear_tag):
            by_kind.setdefault(warning, []).append((number, text))
    return [
        f"{_some(found)}: {warning}"
        for warning, found in sorted(by_kind.items(), key=lambda kind: -len(kind[1]))
    ]


def _some(found: Sequence[tuple[str, str]]) -> str:
    if len(found) == 1:
        return f"animal {found[0][0]} ({found[0][1]})"
    named = ", ".join(f"{number} ({text})" for number, text in found[:_NAMED])
    more = f" and {len(found) - _NAMED} more" if len(found) > _NAMED else ""
    return f"{len(found)} animals, {named}{more}"


def _warnings(eid: str | None, ear_tag: str | None) -> Iterator[tuple[str, str]]:
    """What stands there and what looks wrong with it."""
    for text, read in ((eid, read_electronic_number), (ear_tag, read_ear_tag)):
        if not text:
            continue
        try:
            yield from ((text, warning) for warning in read(text).warnings)
        except RosterError as error:
            yield text, error.what.removeprefix(f"{text!r} ")


def check_digit(country: str, digits: str) -> int | None:
    """Return the check digit that the published rule gives; None when no rule applies."""
    rule = _rule(country)
    if rule is None:
        return None
    if country in rule["codes"]:
        digits = digits[-rule["digits"] :]
    if len(digits) != rule["digits"] or digits.startswith(tuple(rule.get("skip", ()))):
        return None
    at = rule["check"] - 1
    return _FORMULAS[rule["formula"]](digits[:at] + digits[at + 1 :], rule.get("weights", ()))


def _tag_warnings(country: str, digits: str) -> tuple[str, ...]:
    if not _is_country(country):
        return (f"{country} is no country code of ISO 3166",)
    rule = _rule(country)
    if rule is None:
        return ()
    own = digits[-rule["digits"] :] if country in rule["codes"] else digits
    if len(own) != rule["digits"]:
        return (f"a tag of {rule['country']} has {rule['digits']} digits, this has {len(own)}",)
    expected = check_digit(country, digits)
    said = int(own[rule["check"] - 1])
    if expected is None or expected == said:
        return ()
    return (f"check digit {said} does not fit: the rule gives {expected}. Read the tag again",)


def _holder(prefix: str) -> tuple[str, str]:
    special = _data()["numeric_alias"].get(prefix)
    country = pycountry.countries.get(numeric=prefix)
    if special:
        return "country", special
    if country:
        return "country", country.name
    if int(prefix) == _TEST_CODE:
        return "test", ""
    return ("manufacturer", "") if int(prefix) >= _LOWEST_MANUFACTURER else ("unknown", "")


def _is_country(code: str) -> bool:
    if code.isdigit():
        return _holder(code)[0] == "country"
    return pycountry.countries.get(alpha_2=_data()["alias"].get(code, code)) is not None


def _whole_mod_7_plus_1(body: str, _weights: Sequence[int]) -> int:
    return int(body) % 7 + 1


def _weighted(body: str, weights: Sequence[int]) -> int:
    return sum(int(digit) * weight for digit, weight in zip(body, weights, strict=True))


_FORMULAS: dict[str, Callable[[str, Sequence[int]], int]] = {
    "whole mod 7 plus 1": _whole_mod_7_plus_1,
    "sum mod 10": lambda body, weights: _weighted(body, weights) % 10,
    "sum to next ten": lambda body, weights: -_weighted(body, weights) % 10,
    "sum mod 11 from 9": lambda body, weights: abs(_weighted(body, weights) % 11 - 9),
}


def _rule(country: str) -> Mapping[str, Any] | None:
    return next(
        (r for r in _data()["rule"] if country == r["country"] or country in r["codes"]), None
    )


@cache
def _data() -> dict[str, Any]:
    return tomllib.loads((files("dictate.record") / "ear_tags.toml").read_text("utf-8"))
