"""The lexicon's words, those of `words.toml`, and the person's: what a cell of a past treatment means."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache

from dictate.exchange.past.places import BETWEEN, NOTHING, data, named_places, places
from dictate.exchange.roster.dates import Unfit
from dictate.exchange.roster.words import folded, same_key
from dictate.record.rows import STAGED
from grammar import load_lexicon

ZONE_MAX = 12
EACH = "each"
"""The field of a column that is headed by its lesion or action."""
ZONE_NAME = re.compile(r"\s*\b(?:zone|zona|z)\s*(\d{1,2})\b", re.IGNORECASE)
STAGE_NAME = re.compile(r"\bM([0-3]|4(?:[.,]1)?)(?!\w)", re.IGNORECASE)
_BRACKETS = re.compile(r"[(\[].*?[)\]]")
_STAGE = re.compile(r"(.*?)\s*\(?\b[mM](0|1|2|3|4|4[.,]1)\)?")


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
        if not word:
            raise Unfit("a word to explain has no letter and no digit")
        known = said == NOTHING or term(said) or places(said) or is_tick(said) or grade(said)
        if not known:
            raise Unfit(
                f"{word!r} cannot mean {said!r}: it is no lesion, action, foot, claw or severity"
            )


def of_heading(heading: str, words: Mapping[str, str]) -> Meant | None:
    """The lesion or action, perhaps with its foot, that heads a column; None where none does."""
    for said in (heading, _BRACKETS.sub(" ", heading)):
        found = _one(said.strip(), words) if said.strip() else None
        # A column called `Vet` mostly holds a name.
        if found and len(found) == 1 and (words or found[0].action != "referred"):
            return found[0]
    return None


def grade(text: str) -> str | None:
    """A severity in the words of the record."""
    term = load_lexicon().terms.get(folded(text))
    return str(term.value) if term and term.tag == "SEVERITY" else None


def meant(cell: str, words: Mapping[str, str]) -> Iterator[Meant]:
    """What a cell of lesions or actions says, one part after another.

    Raises:
        Unfit: a part of it is not known.
    """
    if whole := _one(cell, words):
        yield from whole
        return
    for part in BETWEEN.split(cell):
        if part:
            found = _one(part, words)
            if found is None:
                raise Unfit(
                    f"{part!r} is not known: say which lesion or action it is, {NOTHING} for none"
                    f" (--word '{part}=MEANING')"
                )
            yield from found


def _one(text: str, words: Mapping[str, str]) -> tuple[Meant, ...] | None:
    """What a part says; None where it is not known."""
    said = words.get(folded(text))
    if said == NOTHING:
        return ()
    if found := term(said or text) or _staged(text):
        return (found,)
    return _placed(text, words)


def _staged(text: str) -> Meant | None:
    staged = _STAGE.fullmatch(text.strip())
    if staged and (not staged[1] or term(staged[1]) == Meant(lesion=STAGED)):
        return Meant(lesion=STAGED, stage=f"M{staged[2].replace(',', '.')}")
    return None


def _placed(text: str, words: Mapping[str, str]) -> tuple[Meant, ...] | None:
    """The same with its place before or after it: `SU outer z4`, `Mortellaro hinten links`."""
    if (zone := ZONE_NAME.search(text)) and int(zone[1]) <= ZONE_MAX:
        without = _one(f"{text[: zone.start()]} {text[zone.end() :]}".strip(), words)
        return without and tuple(replace(one, zone=int(zone[1])) for one in without)
    parts = text.replace("(", " ").replace(")", " ").split()
    for count in range(min(3, len(parts) - 1), 0, -1):
        for place, rest in ((parts[-count:], parts[:-count]), (parts[:count], parts[count:])):
            key = same_key(" ".join(place))
            foot, claw = named_places().get(key, (None, None))
            if (foot or claw) and (found := _one(" ".join(rest), words)):
                return tuple(
                    replace(one, foot=foot or one.foot, claw=claw or one.claw) for one in found
                )
    return None


@cache
def _codes() -> dict[str, str]:
    return {
        row.code.casefold(): row.name
        for row in load_lexicon().lesions.values()
        if row.code and row.code_verified
    }


@cache
def _in_other_languages() -> dict[str, Meant]:
    return {
        folded(word): Meant(**{what: name})
        for what in ("lesion", "action")
        for name, words in data()[f"{what}s"].items()
        for word in words
    }


def term(text: str) -> Meant | None:
    plain = " ".join(text.casefold().split())
    if lesion := _codes().get(plain):
        return Meant(lesion=lesion)
    if found := _in_other_languages().get(folded(text)):
        return found
    term = load_lexicon().terms.get(plain) or load_lexicon().terms.get(folded(text))
    if term is None or term.others:
        return None
    if term.tag == "LESION":
        return Meant(lesion=str(term.value))
    return Meant(action=str(term.value)) if term.tag == "ACTION" else None


def is_tick(cell: str) -> bool | None:
    """Whether a cell only says yes (True) or no (False); None where it says something else."""
    said = cell.strip().casefold()
    return (
        True if said in data()["ticks"]["yes"] else False if said in data()["ticks"]["no"] else None
    )


def severity(cell: str, words: Mapping[str, str]) -> str | None:
    """In the words of the record.

    Raises:
        Unfit: it is not known.
    """
    said = words.get(folded(cell), cell)
    if said == NOTHING:
        return None
    if (found := grade(said)) is None:
        raise Unfit(
            f"{cell!r} is no severity that the record knows: say which (--word '{cell}=severe'),"
            " or leave the column out"
        )
    return found
