"""Feet and claws in the words of lists, from `words.toml`; and that file."""

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from dictate.entry.terms import FEET
from dictate.exchange.roster.dates import Unfit
from dictate.exchange.roster.words import folded, same_key
from grammar import load_lexicon

NOTHING = "-"
"""A word that a person said to mean nothing for the record."""
BETWEEN = re.compile(r"\s*(?:[+;,&/\n]|\band\b|\bund\b|\ben\b|\bet\b)\s*")


@cache
def data() -> dict[str, Any]:
    text = files("dictate.exchange.past").joinpath("words.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def headed_by_foot() -> dict[str, tuple[str, str | None]]:
    """Key of a heading such as `LH`, `Left hind foot` or `LH outer` to the foot and the claw."""
    found: dict[str, tuple[str, str | None]] = {}
    for word, foot in _of("foot").items():
        for said in (word, f"{word} foot", f"{word} leg", f"{word} lesion", f"lesion {word}"):
            found[same_key(said)] = foot, None
        for side, claw in _of("claw").items():
            found[same_key(f"{word} {side}")] = found[same_key(f"{side} {word}")] = foot, claw
    return found


def place_of_heading(heading: str) -> tuple[str | None, str | None]:
    """The foot and the claw that head a column; None where they do not."""
    return headed_by_foot().get(same_key(heading), (None, None))


def places(text: str) -> tuple[tuple[str | None, str | None], ...]:
    """Foot and claw of each place that a text names and nothing else; empty where it names none."""
    if found := named_places().get(same_key(text)):
        return (found,)
    if folded(text) in data()["every"]["foot"]:
        return tuple((one, None) for one in FEET)
    term = load_lexicon().terms.get(folded(text))
    if term is None or term.tag != "FOOT" or term.others:
        return ()
    return tuple((str(one), None) for one in term.value)


@cache
def named_places() -> dict[str, tuple[str | None, str | None]]:
    found: dict[str, tuple[str | None, str | None]] = {**headed_by_foot()}
    return {same_key(word): (None, claw) for word, claw in _of("claw").items()} | found


@cache
def _of(what: str) -> dict[str, str]:
    return {folded(word): name for name, said in data()[what].items() for word in (*said, name)}


def place_parts(text: str) -> list[str]:
    """The parts of a cell that name places: of `LH, RH outer` and `LH RH` two each, of `all four` one."""
    if places(text):
        return [text]
    words = text.split()
    if all(any(foot for foot, _ in places(word)) for word in words):
        return words
    return [part for part in BETWEEN.split(text) if part]


def feet_in(cell: str, words: Mapping[str, str]) -> tuple[tuple[str | None, str | None], ...]:
    """Each foot of a cell (`LH/RH`, `all four`), with the claw where it is named (`LH outer`).

    Raises:
        Unfit: it is not known.
    """
    said = words.get(folded(cell), cell)
    if said == NOTHING:
        return ()
    parts = place_parts(said)
    found = tuple(dict.fromkeys(place for part in parts for place in places(part)))
    if not all(map(places, parts)) or not all(foot for foot, _ in found):
        raise Unfit(f"{cell!r} is no foot: say which (--word '{cell}=LH')")
    return found


def claw_in(cell: str, words: Mapping[str, str]) -> tuple[str | None, str | None]:
    """The foot where the cell names it too (`LH outer`, `LH`), and outer or inner.

    Raises:
        Unfit: it is not known.
    """
    said = words.get(folded(cell), cell)
    if said == NOTHING:
        return None, None
    if len(found := places(said)) == 1:
        return found[0]
    raise Unfit(f"{cell!r} is no claw: say which (--word '{cell}=outer')")
