"""What a list of past treatments holds, and which headings say so."""

from collections.abc import Mapping
from functools import cache

from dictate.entry.terms import FEET
from dictate.exchange.past.places import data, headed_by_foot
from dictate.exchange.past.words import EACH, of_heading, term
from dictate.exchange.roster.columns import Kind
from dictate.exchange.roster.words import headings, same_key
from dictate.texts import noted

NAMING = frozenset({"number", "eid", "ear_tag"})
"""Fields of which one says which animal it is."""


@cache
def _meanings() -> dict[str, str]:
    own = {
        same_key(heading): field
        for field, languages in data()["fields"].items()
        for words in languages.values()
        for heading in words
    }
    naming = {key: name for key, name in headings().items() if name in NAMING | {"farm"}}
    feet = {key: foot for key, (foot, _) in headed_by_foot().items()}
    return feet | naming | own


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
        "farm": noted("farm"),
        "LF": noted("lesions of the left front"),
        "RF": noted("lesions of the right front"),
        "LH": noted("lesions of the left hind"),
        "RH": noted("lesions of the right hind"),
        EACH: noted("the lesion or action that heads it"),
    },
    meanings=_meanings,
    signs=frozenset({"date", *NAMING}),
    wanted=(
        (
            frozenset({"date"}),
            "date: no column is known to be the day; for a list of one day say it (--on 2026-03-02)",
        ),
        (NAMING, "number: no column is known to name the animal"),
        (
            frozenset({"lesion", "action", EACH, *FEET}),
            "lesion: no column is known to be a lesion or action",
        ),
    ),
    never_alone=frozenset(FEET),
    repeated=frozenset({"lesion", "action", "foot", "claw", "zone", "severity", EACH, *FEET}),
    reads=lambda heading: EACH if of_heading(heading, {}) else None,
    added=frozenset({EACH}),
)


def headings_in(words: Mapping[str, str]) -> dict[str, str]:
    """Words that a person said to be lesions or actions, as keys of headings to their field."""
    return {key: EACH for word, said in words.items() if term(said) and (key := same_key(word))}
