"""The frozen records that pass between the stages: words in, slots and entries out."""

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Generic, TypeVar

T = TypeVar("T")


class How(StrEnum):
    """How a slot's value was obtained, from the surest to the least sure."""

    EXACT = "exact"
    """The canonical term or number was heard."""
    ALIAS = "alias"
    """A slang or taught term was heard."""
    REPAIRED = "repaired"
    """A mis-heard term was repaired; the heard words stay visible."""
    CARRIED = "carried"
    """Not said here: it carries over from before."""
    INFERRED = "inferred"
    """Follows from something else that was said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """One recognised word."""

    text: str
    start: float | None = None
    """Seconds from the start of the clip."""
    end: float | None = None
    confidence: float | None = None
    """The engine's own, 0 to 1; never trusted alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot(Generic[T]):
    """A value with its evidence."""

    value: T
    heard: str
    """The words as heard; empty when carried or inferred."""
    first: int
    """Index of the first word; -1 when nothing was heard for it."""
    last: int
    """Index one past the last word."""
    how: How = How.EXACT
    rejected: tuple[T, ...] = ()
    """Other readings of the same words, best first, and values a correction replaced."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A spoken measure, recorded and never judged."""

    what: str
    number: Decimal
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """A lesion (or `no lesion`) at a foot, claw and zone."""

    lesion: Slot[str]
    foot: Slot[str] | None = None
    claw: Slot[str] | None = None
    zone: Slot[int] | None = None
    stage: Slot[str] | None = None
    severity: Slot[str] | None = None
    object: Slot[str] | None = None
    """What a foreign body was, with its size as said."""
    course: Slot[str] | None = None
    """healing, healed, same, better, worse, new, recurrence."""
    tissue: tuple[Slot[str], ...] = ()
    """corium exposed, healthy corium, bleeding, pus, separation …"""
    region: Slot[str] | None = None
    """Where on the claw, in words: toe, heel, white line at the toe …"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """What was done."""

    kind: Slot[str]
    foot: Slot[str] | None = None
    claw: Slot[str] | None = None
    material: Slot[str] | None = None
    """Material or product in the speaker's own words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowUp:
    """Something due on a date."""

    kind: Slot[str]
    feet: tuple[Slot[str], ...] = ()
    """Only where said of it: "block off left hind inner"; else it is of what was found or done."""
    claw: Slot[str] | None = None
    in_days: int | None = None
    on: date | None = None
    """None when no date was said or the note's own date is unknown."""
    when: str = ""
    """The interval or date as said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Locomotion:
    """A lameness score with its scale; `scale` is None when the words leave it open."""

    score: Slot[int]
    scale: str | None = None
    """Either "1-5" or "0-3"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One check that wants a person's look."""

    check: str
    """Id of the check, as in `grammar.checks`."""
    what: str
    """What was found, in words, with the values."""
    first: int = -1
    last: int = -1
    why: str = ""
    clear: str = ""
    """How to clear it."""
    candidates: tuple[str, ...] = ()
    """Values to choose from, best first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What the joining of pieces left open, for the check of that id to mark."""

    check: str
    what: str
    first: int
    last: int
    candidates: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """A slot that a spoken correction replaced; both readings are kept."""

    slot: str
    was: str
    now: str
    first: int
    last: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """A spoken command: scratch that, correction, same cow, next cow, end of note …"""

    kind: str
    first: int
    last: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One animal's findings and actions in a note."""

    animal: Slot[str] | None = None
    animal_candidates: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()
    actions: tuple[Action, ...] = ()
    follow_ups: tuple[FollowUp, ...] = ()
    locomotion: Locomotion | None = None
    measures: tuple[Measure, ...] = ()
    remark: str | None = None
    status: tuple[Slot[str], ...] = ()
    """Said of the whole animal: very lame, dry cow, straw pen, cull …"""
    denied: tuple[Slot[str], ...] = ()
    """What was said not to be there or not done: "no ulcer", "no block"."""
    corrections: tuple[Correction, ...] = ()
    marks: tuple[Mark, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Carry:
    """What a note hands to the next one of the same visit."""

    animal: str | None = None
    seen: tuple[str, ...] = ()
    """Animals of the visit so far, oldest first."""
    doubted: bool = False
    """The note that named the animal is marked for its number, and no person has looked yet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """Which rule or lexicon row took a stretch of words."""

    first: int
    last: int
    rule: str
    value: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """Everything understood of one note."""

    words: tuple[Word, ...]
    entries: tuple[Entry, ...] = ()
    commands: tuple[Command, ...] = ()
    leftover: tuple[int, ...] = ()
    """Indices of the words that no rule took."""
    marks: tuple[Mark, ...] = ()
    """Of the whole note: nothing understood, alternatives that disagree."""
    taken: tuple[Taken, ...] = ()
    """What took each word, in order, for `explain`."""
    carry: Carry = field(default_factory=Carry)
    """For the next note."""
