"""Pieces that say what was done, with what, and what is due when."""

from dataclasses import dataclass
from datetime import date

from grammar.hear.whens import When
from grammar.lexicon.schema import TimeUnit
from grammar.pieces.piece import Said


@dataclass(frozen=True, slots=True, kw_only=True)
class ActionSaid(Said[str]):
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
class Material(Said[str]):
    """ "rubber", "blue spray": in the speaker's words."""

    of: str
    """The kind of action: block or topical."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowUpSaid(Said[str]):
    """ "look again": the kind."""

    only_dated: bool = False
    """Whether it says nothing without a time."""
    feet: tuple[str, ...] = ()
    """Where the words are those of feet: "fronts next visit"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeSaid(Said[When]):
    """ "in two weeks"."""

    unit: str = ""
    """The word for the unit of a number: "weeks"."""
    every: TimeUnit | None = None
    """What one such unit is."""
    since: date | None = None
    """The clip's own date."""
