"""Pieces: one thing as said, with its words, before it is attached to anything.

One frozen class a kind.  `value` is what the record would keep; other fields are the kind's own.
Kinds that rules treat alike stand together in the tuples below, for `isinstance`.
"""

from dataclasses import dataclass, fields
from datetime import date
from fractions import Fraction
from typing import Any, Generic, TypeVar

from grammar.hear.whens import When
from grammar.lexicon.schema import TimeUnit
from grammar.records import Correction, How, Slot

__all__ = [
    "ANIMAL_EDGES",
    "CLAWS",
    "COPULAS",
    "DEEDS",
    "FEET",
    "FINDINGS",
    "LINKS",
    "MODIFIERS",
    "SIDES",
    "UNTAKEN",
    "ActionSaid",
    "Again",
    "AnimalSaid",
    "Asked",
    "Break",
    "Claw",
    "CorrectionCue",
    "Course",
    "Dangling",
    "Denied",
    "Either",
    "EndOfNote",
    "Except",
    "Filler",
    "FollowUpSaid",
    "Foot",
    "ForeignBody",
    "Gone",
    "HalfFoot",
    "Kinds",
    "LeftUndone",
    "Leftover",
    "Lesion",
    "Material",
    "MeasureSaid",
    "NextCow",
    "No",
    "Not",
    "NotNeeded",
    "Number",
    "On",
    "OtherClaw",
    "OtherFeet",
    "Others",
    "Past",
    "Piece",
    "Region",
    "SameCow",
    "Score",
    "Scratch",
    "Severity",
    "Stage",
    "StatusSaid",
    "TakenOff",
    "TimeSaid",
    "Tissue",
    "Undone",
    "With",
    "WrongCow",
    "Zone",
    "is_clean",
    "is_linked",
    "is_side",
    "slot_of",
    "turned",
    "value_of",
]

T = TypeVar("T")
V = TypeVar("V")
P = TypeVar("P", bound="Piece")


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Words that one rule, one row of the lexicon or nothing took."""

    first: int
    """Index of the first word."""
    last: int
    """Index one past the last word."""
    heard: str
    rule: str = ""
    """The rule or lexicon row that took the words; empty where none did."""
    how: How = How.EXACT
    rejected: tuple[Any, ...] = ()
    """Other readings, best first, and values a correction replaced."""
    corrections: tuple[Correction, ...] = ()
    """What this piece has replaced."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Said(Piece, Generic[T]):
    value: T


# --- animals ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class AnimalSaid(_Said[tuple[str, ...]]):
    """ "cow four twelve": every reading of the number, the usual one first."""

    words: tuple[str, ...]
    """The words of the number alone."""
    ending: bool = False
    """Whether only the number's end was said."""
    bare: bool = False
    """Whether no "cow" or "number" stood before it, in the middle of a note."""


class SameCow(_Said[str]):
    """ "same cow"."""


class Break(_Said[str]):
    """Where an animal's number stood among its pieces: no cue reaches over it."""


class NextCow(_Said[str]):
    """ "next cow": the animal does not carry over."""


# --- sites ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Foot(_Said[tuple[str, ...]]):
    """ "left hind", "both hinds": the feet."""

    claw: str | None = None
    """Of "left outer hind"."""
    place: bool = False
    """Whether it says where on the cow, and a side next to it narrows it: "behind", "in front"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfFoot(_Said[str]):
    """ "the left", "the front": left, right, hind or front of a foot named elsewhere."""

    @property
    def is_end(self) -> bool:
        """Whether it says hind or front, and not the side."""
        return self.value in ("hind", "front")


class OtherFeet(_Said[str]):
    """Feet by those said before: same, across, rest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Claw(_Said[str]):
    """outer, inner, both."""

    of_both_feet: bool = False
    """Of "both inners"."""


class OtherClaw(_Said[str]):
    """A claw by its state: sound, lesion."""


class Zone(_Said[tuple[int, ...]]):
    """ "zone four and five"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Region(_Said[str]):
    """ "at the heel": a place on the claw in words."""

    zone: int | None = None
    """The zone it stands for."""
    lesion_alone: str | None = None
    """The lesion that it names where no other lesion is said."""
    measured: bool = False
    """Whether it names a measure: "toe length"."""


# --- findings ---------------------------------------------------------------------------------


class Stage(_Said[str]):
    """ "m two", "chronic"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Adjective(_Said[str]):
    stands_before: bool = False
    """Whether it stands before the lesion that it qualifies."""


class Severity(_Adjective):
    """mild, moderate, severe, "grade 2 of 3"."""


class Course(_Adjective):
    """healing, healed, same, better, worse, new, recurrence."""


class Tissue(_Adjective):
    """corium exposed, bleeding, pus …"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesion(_Said[str]):
    """A lesion of the lexicon, or no lesion."""

    object: str | None = None
    """What a foreign body was."""
    stage: Stage | None = None
    """The stage that stood for the lesion."""
    zone: int | None = None
    region: str | None = None
    """Where the words for a place stood for the lesion."""


class ForeignBody(_Said[str]):
    """ "screw", "two stones"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Score(_Said[int]):
    """ "locomotion three"."""

    scale: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureSaid(_Said[tuple[Fraction, str]]):
    """ "dorsal wall eighty millimetres": number and unit."""

    what: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StatusSaid(_Said[str]):
    """Said of the whole animal: very lame, dry cow."""

    opposite: str | None = None
    """What a denial makes of it."""
    medicine: bool = False
    """Whether a medicine was given."""


# --- work and what is due ---------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class ActionSaid(_Said[str]):
    """ "blocked", "wrap off": the kind of action."""

    material: str | None = None
    """The material that the words themselves name."""
    if_dated: str | None = None
    """The follow-up that it is where a time is said for it."""
    on_lesion: bool = False
    """Whether it is done to the claw of the lesion where no claw is said."""
    tissue: str | None = None
    """What the words themselves tell of the lesion."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Material(_Said[str]):
    """ "rubber", "blue spray": in the speaker's words."""

    of: str
    """The kind of action: block or topical."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowUpSaid(_Said[str]):
    """ "look again": the kind."""

    only_dated: bool = False
    """Whether it says nothing without a time."""
    feet: tuple[str, ...] = ()
    """Where the words are those of feet: "fronts next visit"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeSaid(_Said[When]):
    """ "in two weeks"."""

    unit: str = ""
    """The word for the unit of a number: "weeks"."""
    every: TimeUnit | None = None
    """What one such unit is."""
    since: date | None = None
    """The clip's own date."""


# --- words that act on others -----------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectionCue(_Said[str]):
    """ "sorry", "make that"."""

    restates: bool = False
    """Whether the whole finding may be said anew."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scratch(_Said[str]):
    """ "scratch that", "scratch all", "scrap the …"."""

    whole: bool = False
    named: bool = False
    """Whether what is taken back is said next."""


class WrongCow(_Said[str]):
    """ "wrong cow": with a number it gives the right animal."""


class No(_Said[str]):
    """ "no": denies a lesion, corrects a site or number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Not(_Said[str]):
    """ "not", "no sign of"."""

    contrasts: bool = True
    """Whether it may stand before a site: "not the left hind, the right"."""


class NotNeeded(_Said[str]):
    """ "wrap not needed": denies what was said before it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Undone(_Said[str]):
    """ "needs", "couldn't": the deed said next was not done."""

    later: bool = False
    """Whether it is still to be done."""
    passes_over: bool = False
    """Whether a foot behind it was left out: "didn't lift the fronts"."""


class LeftUndone(_Said[str]):
    """ "still on", "to go on": the deed said before was not done today."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Past(_Said[str]):
    """ "used to have", "last time": what is said next, or before, was so at another time."""

    behind: bool = False
    """Whether it is said behind what it speaks of, if anything stands there."""


class TakenOff(_Said[str]):
    """ "removed": the block or wrap said before came off."""


class Gone(_Said[str]):
    """ "is gone": the lesion said before is not there any more."""


class Denied(_Said[str]):
    """Where something has been denied: "deed", or "" for what may be seen."""


class Except(_Said[str]):
    """ "all four except …"."""


class Either(_Said[str]):
    """ "one or other of": one of the feet said next."""


class Again(_Said[str]):
    """ "same again"."""


class EndOfNote(_Said[str]):
    """ "end of note"."""


# --- words that hold together, and words left over --------------------------------------------


class Filler(_Said[str]):
    """A word that says nothing of its own."""


class Others(Filler):
    """ "The last fella", "himself": somebody else, whose doing is not ours."""


class Asked(_Said[str]):
    """ "Where's the", "how many": a question to people begins."""


class On(_Said[str]):
    """ "on the": joins a site to what stands before it."""


class With(_Said[str]):
    """ "with", "using"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Number(_Said[str]):
    """A number that no rule took: both readings, of which corrections and bare animals choose one."""

    identifier: tuple[str, ...]
    quantity: Fraction | None


class Dangling(_Said[str]):
    """A unit, a month or a day without its number."""


class Leftover(_Said[str]):
    """A word that means nothing here."""


# --- kinds that rules treat alike -------------------------------------------------------------

Kinds = tuple[type[Piece], ...]

FEET = (Foot, HalfFoot, OtherFeet)
CLAWS = (Claw, OtherClaw)
LINKS = (Filler, On, With)
"""Pieces that only hold the others together."""
UNTAKEN = (Leftover, Number, Dangling)
"""Pieces that mean nothing alone."""
MODIFIERS = (Stage, Severity, Course, Tissue)
"""What qualifies a lesion and may stand before or after it."""
FINDINGS = (Lesion, ForeignBody)
DEEDS = (ActionSaid, FollowUpSaid)
"""What was done, and what is to be done."""
ANIMAL_EDGES = (AnimalSaid, NextCow)
"""Where another animal's part begins."""

SIDES = {
    "left": "L",
    "near": "L",
    "nearside": "L",
    "right": "R",
    "off": "R",
    "offside": "R",
    "both": "",
}
"""Bare words that name the side of a foot."""
COPULAS = frozenset({"is", "was", "looks"})
"""What joins a foot to what is said of it."""


def slot_of(piece: Piece, value: V, how: How | None = None) -> Slot[V]:
    """Make the slot of a piece."""
    return Slot(
        value=value, heard=piece.heard, first=piece.first, last=piece.last,
        how=how or piece.how, rejected=piece.rejected,
    )  # fmt: skip


def turned(piece: Piece, kind: type[P], **own: Any) -> P:
    """Return the same words as another kind of piece; `own` are its fields."""
    return kind(**({name: getattr(piece, name) for name in _SHARED} | own))


_SHARED = tuple(field.name for field in fields(Piece))


def is_side(piece: Piece | None) -> bool:
    """A bare "left" or "right", which may be half a foot."""
    return isinstance(piece, Filler) and piece.value in ("left", "right")


def is_clean(piece: Piece | None) -> bool:
    """ "No lesion", "clean", "all good"."""
    return isinstance(piece, Lesion) and piece.value == "no lesion"


def is_linked(piece: Piece) -> bool:
    """Whether the piece itself begins with on: "on the left", "on the outside"."""
    return piece.heard.startswith("on ")


def value_of(piece: Piece) -> Any:
    """Return the value of any piece."""
    return piece.value if isinstance(piece, _Said) else piece.heard
