"""The words of `words.toml`, of the lexicon, and of the person: what a cell of a past treatment means."""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import Any

from dictate.entry.terms import FEET
from dictate.exchange.roster.columns import Kind
from dictate.exchange.roster.dates import Unfit
from dictate.exchange.roster.words import folded, headings, same_key
from dictate.record.rows import STAGED
from dictate.texts import noted
from grammar import load_lexicon

ZONE_MAX = 12
NOTHING = "-"
"""A word that a person said to mean nothing for the record."""
_BETWEEN = re.compile(r"\s*(?:[+;,&/\n]|\band\b|\bund\b|\ben\b|\bet\b)\s*")
_ZONE = re.compile(r"\s*\b(?:zone|zona|z)\s*(\d{1,2})\b", re.IGNORECASE)
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
    naming = {key: name for key, name in headings().items() if name in _NAMING}
    feet = {key: foot for key, (foot, _) in _headed_by_foot().items()}
    return feet | naming | own


@cache
def _headed_by_foot() -> dict[str, tuple[str, str | None]]:
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
    return _headed_by_foot().get(same_key(heading), (None, None))


_NAMING = frozenset({"number", "eid", "ear_tag"})
PAST = Kind(
    fields={
        "date": noted("day of the visit"),
        "number": noted("management number"),
        "eid": noted("electronic number, 15 digits"),
        "ear_tag": noted("ear tag"),
        "lesion": noted("lesion"),
        "action": noted("what was done"),
        "foot": noted("foot"),
        "claw": noted("claw"),
        "zone": noted("zone"),
        "severity": noted("severity"),
        "remark": noted("remark"),
        "LF": noted("lesions of the left front"),
        "RF": noted("lesions of the right front"),
        "LH": noted("lesions of the left hind"),
        "RH": noted("lesions of the right hind"),
    },
    meanings=_meanings,
    sign="date",
    wanted=(
        (frozenset({"date"}), "date: no column is known to be the day"),
        (_NAMING, "number: no column is known to name the animal"),
        (
            frozenset({"lesion", "action", *FEET}),
            "lesion: no column is known to be a lesion or action",
        ),
    ),
    never_alone=frozenset(FEET),
    repeated=frozenset({"lesion", "action", "foot", "claw", "zone", "severity", *FEET}),
)


@dataclass(frozen=True, slots=True)
class Meant:
    """What a part of a cell means: a lesion, perhaps with its stage, or a kind of action."""

    lesion: str = ""
    stage: str | None = None
    action: str = ""
    foot: str | None = None
    claw: str | None = None
    zone: int | None = None


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
    """What a part says; None where it is not known."""
    said = words.get(folded(text))
    if said == NOTHING:
        return ()
    if found := _term(said or text) or _staged(text):
        return (found,)
    return _placed(text, words)


def _staged(text: str) -> Meant | None:
    staged = _STAGE.fullmatch(text.strip())
    if staged and (not staged[1] or _term(staged[1]) == Meant(lesion=STAGED)):
        return Meant(lesion=STAGED, stage=f"M{staged[2].replace(',', '.')}")
    return None


def _placed(text: str, words: Mapping[str, str]) -> tuple[Meant, ...] | None:
    """The same with its place before or after it: `SU outer z4`, `Mortellaro hinten links`."""
    if (zone := _ZONE.search(text)) and int(zone[1]) <= ZONE_MAX:
        without = _one(f"{text[: zone.start()]} {text[zone.end() :]}".strip(), words)
        return without and tuple(replace(one, zone=int(zone[1])) for one in without)
    parts = text.replace("(", " ").replace(")", " ").split()
    for count in range(min(3, len(parts) - 1), 0, -1):
        for place, rest in ((parts[-count:], parts[:-count]), (parts[:count], parts[count:])):
            key = same_key(" ".join(place))
            foot, claw = _places().get(key, (None, None))
            if (foot or claw) and (found := _one(" ".join(rest), words)):
                return tuple(
                    replace(one, foot=foot or one.foot, claw=claw or one.claw) for one in found
                )
    return None


@cache
def _places() -> dict[str, tuple[str | None, str | None]]:
    found: dict[str, tuple[str | None, str | None]] = {**_headed_by_foot()}
    return {same_key(word): (None, claw) for word, claw in _of("claw").items()} | found


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


def is_tick(cell: str) -> bool | None:
    """Whether a cell only says yes (True) or no (False); None where it says something else."""
    said = cell.strip().casefold()
    return (
        True
        if said in _data()["ticks"]["yes"]
        else False
        if said in _data()["ticks"]["no"]
        else None
    )


def severity(cell: str) -> str:
    """In the words of the record.

    Raises:
        Unfit: it is not known.
    """
    term = load_lexicon().terms.get(folded(cell))
    if term is None or term.tag != "SEVERITY":
        raise Unfit(f"{cell!r} is no severity that the record knows (leave the column out)")
    return str(term.value)
