"""Words for a way to leave as headings have them: what a mark under `Sold`, `Active` or `Reason left` means."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from dictate.exchange.roster.words import (
    BESIDE,
    PARTS,
    folded,
    is_no,
    is_number_word,
    leaving_words,
    statuses,
)
from dictate.store.states import AnimalStatus


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """What stands under a heading means for the animal; None for nothing."""

    yes: AnimalStatus | None = AnimalStatus.OFF_ROSTER
    """Also what a day means."""
    no: AnimalStatus | None = None
    word: AnimalStatus | None = None
    """What any word means that is no yes and no no."""
    only_planned: bool = False
    """Whether a yes may be of an animal that is to leave and still there."""
    asks: bool = False
    """Whether the heading itself says that a yes or a no stands below it: `Sold Y/N`."""


LEFT = Way()
"""Under a heading for the day on which she left."""
_BRACKETS = re.compile(r"[(\[].*?[)\]]")
_BREAK = re.compile(r"[,;:]\s")


@lru_cache(maxsize=1000)
def way_of(heading: str) -> Way | None:
    """What a mark under a heading such as `Sold`, `Død`, `Verkocht J/N` or `Active` means."""
    return _way(heading) or _way(_BRACKETS.sub(" ", heading))


def _way(heading: str) -> Way | None:
    words = folded(heading).split()
    asks = len(words) > 2 and (words[-2], words[-1]) in _yes_and_no()
    if found := _plain_way(words[:-2] if asks else words):
        return replace(found, asks=asks)
    if len(parts := [part for part in PARTS.split(heading) if part.strip()]) < 2:
        return None
    ways = [_plain_way(folded(part).split()) for part in parts]
    if None in ways or any(one.no or one.word for one in ways if one):
        return None
    return ways[0] if len(set(ways)) == 1 else LEFT


def _plain_way(words: list[str]) -> Way | None:
    data = leaving_lists()
    while len(words) > 1 and _is_filling(words[0]):
        words = words[1:]
    if len(words) > 1 and words[-1] in data["day_follows"]:
        words = words[:-1]
    said = " ".join(words)
    if said in data["reasons"]:
        return Way(word=AnimalStatus.OFF_ROSTER)
    if absent := _absent().get(said):
        return Way(yes=None, no=absent)
    found = statuses().get(said)
    if found in (None, "present") or said in data["no_headings"]:
        return None
    return Way(yes=AnimalStatus(found), only_planned=said in data["planned"])


def _is_filling(word: str) -> bool:
    animal = is_number_word(word) and not is_no(word)  # `no` may be a number and a no
    return animal or word in leaving_lists()["filling"]


@cache
def leaving_lists() -> Mapping[str, frozenset[str]]:
    """The lists of single words and signs of `[leaving]`, folded."""
    return {
        name: frozenset(word if name == "alone" else folded(word) for word in words)
        for name, words in leaving_words().items()
        if name not in ("present", "pairs", "questions", "remarks")
    }


@cache
def _absent() -> Mapping[str, AnimalStatus]:
    return {
        folded(word): AnimalStatus(status)
        for status, words in leaving_words()["present"].items()
        for word in words
    }


@cache
def _yes_and_no() -> frozenset[tuple[str, str]]:
    """How a heading ends that asks for one of two: `y n`, `ja nee`, `1 0`."""
    data = leaving_words()
    both = [*data["pairs"], *data["questions"]]
    return frozenset((folded(a), folded(b)) for pair in both for a, b in (pair, pair[::-1]))


def may_have_left(text: str) -> bool:
    """Whether a remark has a word for leaving anywhere in it: `coja, vendida en marzo`; it may be of another."""
    return not _in_remarks().isdisjoint(folded(text).split())


@cache
def _in_remarks() -> frozenset[str]:
    lists = leaving_lists()
    said = frozenset(word for word, status in statuses().items() if status != "present")
    return (
        (said | lists["verbs"]) - lists["not_in_remarks"] - lists["planned"] - lists["no_headings"]
    )


def way_at_start(text: str, *, alone: bool = False) -> Way | None:
    """The way to leave with which words begin; `alone`: with nothing behind it but where she went."""
    said = BESIDE.sub(" ", text)
    words = folded(said).split()
    if not words:
        return None
    first = BESIDE.sub(" ", _BREAK.split(text)[0])  # `Abgang, Datum fehlt noch`
    if found := way_of(said) or way_of(first):
        return found
    if alone and (len(words) < 2 or words[1] not in leaving_lists()["goes_to"]):
        return None
    return way_of(words[0])
