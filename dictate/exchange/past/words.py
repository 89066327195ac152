"""The words of `words.toml`, of the lexicon, and of the person: what a cell of a past treatment means."""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from dictate.exchange.roster.columns import Kind
from dictate.exchange.roster.dates import Unfit
from dictate.exchange.roster.words import folded, headings, same_key
from grammar import load_lexicon

NOTHING = "-"
"""A word that a person said to mean nothing for the record."""
_BETWEEN = re.compile(r"\s*(?:[+;,&/\n]|\band\b|\bund\b|\ben\b|\bet\b)\s*")
_STAGE = re.compile(r"(.*?)\s*\(?\b[mM](0|1|2|3|4|4[.,]1)\)?")


@cache
def _data() -> dict[str, Any]:
    text = files("dictate.exchange.past").joinpath("words.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def _meanings() -> dict[str, str]:
    own = {
        same_key(heading): field
        for field, languages in _data()["fields"].items()
        for words in languages.values()
        for heading in words
    }
    naming = {key: name for key, name in headings().items() if name in ("number", "eid", "ear_tag")}
    return naming | own


_NAMING = frozenset({"number", "eid", "ear_tag"})
PAST = Kind(
    fields={
        "date": "day of the visit",
        "number": "management number",
        "eid": "electronic number, 15 digits",
        "ear_tag": "ear tag",
        "lesion": "lesion",
        "action": "what was done",
        "foot": "foot",
        "claw": "claw",
        "zone": "zone",
        "severity": "severity",
        "remark": "remark",
    },
    meanings=_meanings,
    sign="date",
    wanted=(
        (frozenset({"date"}), "date: no column is known to be the day"),
        (_NAMING, "number: no column is known to name the animal"),
        (frozenset({"lesion", "action"}), "lesion: no column is known to be a lesion or action"),
    ),
)


@dataclass(frozen=True, slots=True)
class Meant:
    """What a part of a cell means: a lesion, perhaps with its stage, or a kind of action."""

    lesion: str = ""
    stage: str | None = None
    action: str = ""


def check_words(words: Mapping[str, str]) -> None:
    """Look at what a person said that words mean.

    Raises:
        Unfit: a word is to mean something that the record does not know.
    """
    for word, said in words.items():
        known = said == NOTHING or _term(said) or _of("foot").get(folded(said))
        if not known and not _of("claw").get(folded(said)):
            raise Unfit(f"{word!r} cannot mean {said!r}: it is no lesion, action, foot or claw")


def meant(cell: str, words: Mapping[str, str]) -> Iterator[Meant]:
    """What a cell of lesions or actions says, one part after another.

    Raises:
        Unfit: a part of it is not known.
    """
    if whole := _one(cell, words):
        yield from whole
        return
    for part in _BETWEEN.split(cell):
        if part:
            found = _one(part, words)
            if found is None:
                raise Unfit(
                    f"{part!r} is not known: say which lesion or action it is, --word {part!r}=MEANING"
                    f" ('{NOTHING}' for none)"
                )
            yield from found


def _one(text: str, words: Mapping[str, str]) -> tuple[Meant, ...] | None:
    said = words.get(folded(text))
    if said == NOTHING:
        return ()
    if found := _term(said or text):
        return (found,)
    staged = _STAGE.fullmatch(text.strip())
    if staged and (not staged[1] or _term(staged[1]) == Meant(lesion=_STAGED)):
        return (Meant(lesion=_STAGED, stage=f"M{staged[2].replace(',', '.')}"),)
    return None


_STAGED = "digital dermatitis"


@cache
def _codes() -> dict[str, str]:
    return {
        row.code.casefold(): row.name
        for row in load_lexicon().lesions.values()
        if row.code and row.code_verified
    }


def _term(text: str) -> Meant | None:
    plain = " ".join(text.casefold().split())
    if lesion := _codes().get(plain):
        return Meant(lesion=lesion)
    term = load_lexicon().terms.get(plain) or load_lexicon().terms.get(folded(text))
    if term is None or term.others:
        return None
    if term.tag == "LESION":
        return Meant(lesion=str(term.value))
    return Meant(action=str(term.value)) if term.tag == "ACTION" else None


@cache
def _of(what: str) -> dict[str, str]:
    return {folded(word): name for name, said in _data()[what].items() for word in (*said, name)}


def foot(cell: str, words: Mapping[str, str]) -> tuple[str | None, str | None]:
    """The foot, and the claw where the cell names it too (`LH outer`).

    Raises:
        Unfit: it is not known.
    """
    text = folded(words.get(folded(cell), cell))
    if text == folded(NOTHING):
        return None, None
    if found := _of("foot").get(text):
        return found, None
    first, _, last = text.rpartition(" ")
    if (side := _of("claw").get(last)) and (found := _of("foot").get(first)):
        return found, side
    raise Unfit(f"{cell!r} is no foot: say which, --word {cell!r}=LH")


def claw(cell: str, words: Mapping[str, str]) -> str | None:
    """Outer or inner.

    Raises:
        Unfit: it is not known.
    """
    text = folded(words.get(folded(cell), cell))
    if text == folded(NOTHING):
        return None
    if found := _of("claw").get(text):
        return found
    raise Unfit(f"{cell!r} is no claw: say which, --word {cell!r}=outer")


def severity(cell: str) -> str:
    """In the words of the record.

    Raises:
        Unfit: it is not known.
    """
    term = load_lexicon().terms.get(folded(cell))
    if term is None or term.tag != "SEVERITY":
        raise Unfit(f"{cell!r} is no severity that the record knows (leave the column out)")
    return str(term.value)
