"""Pieces that say what was seen: lesions and what qualifies them, scores, measures, states."""

from dataclasses import dataclass
from fractions import Fraction

from grammar.pieces.piece import Said


class Stage(Said[str]):
    """ "m two", "chronic"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Adjective(Said[str]):
    stands_before: bool = False
    """Whether it stands before the lesion that it qualifies."""


class Severity(_Adjective):
    """mild, moderate, severe, "grade 2 of 3"."""


class Course(_Adjective):
    """healing, healed, same, better, worse, new, recurrence."""


class Tissue(_Adjective):
    """corium exposed, bleeding, pus …"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesion(Said[str]):
    """A lesion of the lexicon, or no lesion."""

    object: str | None = None
    """What a foreign body was."""
    stage: Stage | None = None
    """The stage that stood for the lesion."""
    zone: int | None = None
    region: str | None = None
    """Where the words for a place stood for the lesion."""


class ForeignBody(Said[str]):
    """ "screw", "two stones"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Score(Said[int]):
    """ "locomotion three"."""

    scale: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureSaid(Said[tuple[Fraction, str]]):
    """ "dorsal wall eighty millimetres": number and unit."""

    what: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StatusSaid(Said[str]):
    """Said of the whole animal: very lame, dry cow."""

    opposite: str | None = None
    """What a denial makes of it."""
    medicine: bool = False
    """Whether a medicine was given."""
