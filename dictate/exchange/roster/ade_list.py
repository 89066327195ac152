"""A list of animals in ICAR Animal Data Exchange form, as a table like any other.

Reads what the standard's `icarAnimalCoreResource` says (github.com/adewg/ICAR, ADE-1): `managementTag`
is the number, fifteen digits among the identifiers are the electronic number, any other identifier the
ear tag. The scheme of an identifier is named differently by every sender and decides nothing; only
what this program itself writes for an animal without any (`FARM_AND_NUMBER`) is no tag.
"""

import json
import re
from collections.abc import Iterator
from typing import Any

from dictate.errors import RosterError
from dictate.exchange.roster.cells import Row, Table

FARM_AND_NUMBER = "dictate.farm-and-number"
"""Scheme of an identifier that is told apart within this program alone."""
_HEADINGS = ("number", "eid", "ear tag", "name", "status")
_STATUS = {"Alive": "present", "Unknown": "", "OffFarm": "off the roster", "Dead": "dead"}
_EID = re.compile(r"\d{15}")


def looks_like_ade(data: bytes) -> bool:
    """Whether a file is JSON."""
    return data.lstrip(b"\xef\xbb\xbf \t\r\n")[:1] in (b"{", b"[")


def read_ade_list(data: bytes) -> Table:
    """Read a collection of animals, a bare list of them, or a single one.

    Raises:
        RosterError: it is no such JSON.
    """
    try:
        read = json.loads(data.decode("utf-8-sig"))
    except (ValueError, RecursionError) as error:
        raise RosterError(f"is no JSON that can be read: {error}") from error
    members = read.get("member", [read]) if isinstance(read, dict) else read
    if not isinstance(members, list) or not any(
        isinstance(one, dict) and ("identifier" in one or "managementTag" in one) for one in members
    ):
        raise RosterError(
            "holds no animals in ADE form", remedy="Ask for a collection of icarAnimalCoreResource"
        )
    rows = [Row(0, _HEADINGS), *_rows(members)]
    view = read.get("view") if isinstance(read, dict) else None
    total = view.get("totalItems") if isinstance(view, dict) else None
    more = f", {len(members)} of {total} members" if total not in (None, len(members)) else ""
    return Table(rows=tuple(rows), how=f"ADE{more}")


def _rows(members: list[Any]) -> Iterator[Row]:
    for at, one in enumerate(members, start=1):
        if not isinstance(one, dict):
            yield Row(at, (str(one)[:60],), "is no animal")
            continue
        fault = ""
        if one.get("specie", "Cattle") != "Cattle":
            fault = f"is of the species {one['specie']!r}"
        yield Row(at, tuple(_cells(one)), fault)


def _cells(one: dict[str, Any]) -> Iterator[str]:
    others = one.get("alternativeIdentifiers") or ()
    said = [one.get("identifier"), *(others if isinstance(others, list) else ())]
    ids = [
        _text(each.get("id"))
        for each in said
        if isinstance(each, dict) and each.get("scheme") != FARM_AND_NUMBER
    ]
    number = _text(one.get("managementTag"))
    eid = next((each for each in ids if _EID.fullmatch(each.replace(" ", ""))), "")
    yield number
    yield eid
    yield next((each for each in ids if each not in (eid, number, "")), "")
    yield _text(one.get("name")) or _text(one.get("officialName"))
    status = _text(one.get("status"))
    yield _STATUS.get(status, status)


def _text(value: Any) -> str:
    return "" if value is None else str(value).strip()
