"""The values of an entry as plain data: the shape that is shown, amended, confirmed and exported.

It is the entry of `dictate explain --json` (fixed keys; new ones may be added, none removed).
"""

import datetime as dt
from collections.abc import Iterable
from decimal import Decimal
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator

from dictate.texts import noted

SPOKEN_REMARK = noted("spoken remark")
"""In place of the text of a remark that nobody typed."""

Foot = Literal["LF", "RF", "LH", "RH"]
Claw = Literal["outer", "inner"]


Span = tuple[int, int]
"""First word of a stretch, and one past its last."""


class _Values(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class _Said(_Values):
    """What was said, with its evidence."""

    at: dict[str, Span] = {}
    """Slot to the words that it was heard in; a slot without words was carried over or inferred."""
    by_hand: tuple[str, ...] = ()
    """Slots that a person set."""


class FindingValues(_Said):
    foot: Foot | None = None
    claw: Claw | None = None
    zone: int | None = Field(default=None, ge=0, le=12)
    lesion: str
    stage: str | None = None
    severity: str | None = None
    heard: str = ""
    object: str | None = None
    course: str | None = None
    tissue: tuple[str, ...] = ()
    region: str | None = None
    """Where on the claw, in words: toe, heel, white line at the toe …"""


class ActionValues(_Said):
    kind: str
    foot: Foot | None = None
    claw: Claw | None = None
    material: str | None = None


class FollowUpValues(_Said):
    kind: str
    feet: tuple[Foot, ...] = ()
    """Only where said of it, or set; else it is of what was found or done."""
    claw: Claw | None = None
    in_days: int | None = None
    date: dt.date | None = None
    when: str = ""

    @field_validator("feet", mode="before")
    @classmethod
    def _as_written(cls, feet: object) -> object:
        """`LF, RF`, as a person writes them."""
        if feet is None:
            return ()
        return tuple(feet.replace(",", " ").split()) if isinstance(feet, str) else feet


class LocomotionValues(_Values):
    score: int
    scale: Literal["1-5", "0-3"] | None = None


class MeasureValues(_Values):
    what: str
    number: Decimal
    unit: str


class CorrectionValues(_Values):
    """A slot that the speaker corrected, with both readings."""

    slot: str
    was: str
    now: str


class MarkValues(_Values):
    """Why an entry wants a look: `id` of the check and words for a person."""

    id: str
    what: str
    why: str = ""
    clear: str = ""
    first: int = -1
    last: int = -1
    candidates: tuple[str, ...] = ()


class WordsRead(BaseModel):
    """The words of a note as they were read, and what of them is in none of its entries."""

    model_config = ConfigDict(
        extra="ignore", frozen=True
    )  # readings of before hold all of it once more

    words: tuple[str, ...] = ()
    commands: tuple[str, ...] = ()
    """Kinds of the commands said."""
    leftover: tuple[str, ...] = ()
    """Words that found no use."""
    leftover_at: tuple[int, ...] = ()
    """Their places."""


class SpokenRemark(_Values):
    """A remark as it was said: a piece of the note's sound."""

    start: float
    """Seconds from the start of the note, as `end`."""
    end: float
    heard: str = ""
    """What the recogniser made of it, which knows the trade's words only; never taken for the text."""


class EntryValues(_Said):
    animal: str | None = None
    carried: Literal["", "unsaid", "same cow"] = ""
    """How the entry came to the animal before it: none was said, or "same cow"; empty: it has its own."""
    animal_candidates: tuple[str, ...] = ()
    findings: tuple[FindingValues, ...] = ()
    actions: tuple[ActionValues, ...] = ()
    follow_ups: tuple[FollowUpValues, ...] = ()
    locomotion: LocomotionValues | None = None
    measures: tuple[MeasureValues, ...] = ()
    status: tuple[str, ...] = ()
    """Said of the whole animal: very lame, dry cow, cull …"""
    denied: tuple[str, ...] = ()
    """Said not to be there or not done; kept with the entry, never recorded as found."""
    remark: str | None = None
    """Its text, once a person typed or took it."""
    spoken_remark: SpokenRemark | None = None
    corrections: tuple[CorrectionValues, ...] = ()
    marks: tuple[str, ...] = ()
    mark_details: tuple[MarkValues, ...] = ()

    @property
    def remark_to_tell(self) -> str | None:
        """The remark's text, or that there is one to listen to."""
        return self.remark or (SPOKEN_REMARK if self.spoken_remark else None)

    @model_validator(mode="before")
    @classmethod
    def _of_before(cls, content: Any) -> Any:
        """Entries that were kept before `carried` was tell it by their mark."""
        if isinstance(content, dict) and "carried" not in content:
            said = "unsaid" if "animal-carried" in content.get("marks", ()) else ""
            return content | {"carried": said}
        return content

    def with_marks(self, marks: Iterable[MarkValues]) -> "EntryValues":
        """The same with these marks and no others."""
        kept = tuple(marks)
        ids = tuple(dict.fromkeys(mark.id for mark in kept))
        return self.model_copy(update={"marks": ids, "mark_details": kept})
