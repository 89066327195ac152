"""The kinds of lists: what each holds, and how its fields are called for people."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from dictate.exchange.roster.words import headings
from dictate.texts import noted

FIELDS: Mapping[str, str] = {
    "number": noted("management number"),
    "eid": noted("electronic number, 15 digits"),
    "ear_tag": noted("ear tag"),
    "name": noted("name"),
    "lactation": noted("lactation"),
    "calved_on": noted("calved on"),
    "dried_off_on": noted("dried off on"),
    "status": noted("status"),
    "farm": noted("farm"),
}
"""What is kept of an animal, and what it is called for people."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """What a kind of list holds."""

    fields: Mapping[str, str]
    """Name of each field to what it is called for people."""
    meanings: Callable[[], Mapping[str, str]]
    """Key of a heading to the field that it means."""
    signs: frozenset[str]
    """Fields of which one makes a row the headings; without it, it takes two others."""
    wanted: tuple[tuple[frozenset[str], str], ...]
    """Fields of which one has to be there, and what to say where none is."""
    repeated: frozenset[str] = frozenset()
    """Fields that several columns may hold: `Lesion 1`, `Lesion 2`."""
    reads: Callable[[str], str | None] = lambda _: None
    """The field of a heading that is none of `meanings`."""
    added: frozenset[str] = frozenset()
    """Fields of which a person names some columns beside those that are known."""
    never_alone: frozenset[str] = frozenset()
    """Fields whose headings are too short to be believed of one column: `LA` may be a lactation."""


ROSTER = Kind(
    fields=FIELDS,
    meanings=headings,
    signs=frozenset({"number"}),
    wanted=((frozenset({"number"}), "number: no column is known to be the animals' number"),),
)

LEFT_OUT = "-"
"""In the place of a heading: this field is not taken from the file."""
