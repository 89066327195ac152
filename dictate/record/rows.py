"""The herd record as plain frozen rows: what the counting, the sheets and the exports work on.

Rows hold only what a person confirmed. The store builds them; nothing here touches a database.
"""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any

from dictate.entry.terms import NO_LESION

TRIM_KINDS = frozenset({"functional trim", "therapeutic trim"})
STAGED = "digital dermatitis"
"""The one lesion that has stages."""
YEAR = 365
"""Days that questions about a herd look back unless they say otherwise."""


def natural(text: str) -> Any:
    """Sort key of management numbers, zones and file names, as people count: 9, 412, 0412, 1000, A2, A12."""
    return _natural_key()(text)


@cache
def _natural_key() -> Callable[[str], Any]:
    from natsort import natsort_keygen, ns  # noqa: PLC0415 (many commands sort nothing)

    return natsort_keygen(alg=ns.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class FarmRow:
    """One farm."""

    id: int
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AnimalRow:
    """One animal of a farm's roster, or one that was confirmed without being on it."""

    id: int
    farm_id: int
    number: str
    """Management number, as spoken at the chute."""
    eid: str | None = None
    """15-digit electronic number (ISO 11784)."""
    ear_tag: str | None = None
    """National ear tag, as printed."""
    name: str | None = None
    lactation: int | None = None
    calved_on: dt.date | None = None
    dried_off_on: dt.date | None = None
    status: str = "present"
    """present, sold, dead, off the roster."""
    merged_into: int | None = None
    """Animal that this one turned out to be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitRow:
    """One trimmer, one farm, one day."""

    id: int
    farm_id: int
    on: dt.date
    whole_herd: bool | None = None
    """True: whole herd trimmed; False: chosen animals; None: not stated."""
    trimmer: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _OfVisit:
    """What every row of a visit has."""

    id: int
    farm_id: int
    visit_id: int
    animal_id: int
    on: dt.date
    animal: str = ""
    """Management number."""
    entry_id: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingRow(_OfVisit):
    """A confirmed lesion (or `no lesion`) on an animal."""

    lesion: str
    foot: str | None = None
    claw: str | None = None
    zone: int | None = None
    stage: str | None = None
    severity: str | None = None
    course: str | None = None
    object: str | None = None
    tissue: tuple[str, ...] = ()
    heard: str = ""
    region: str | None = None
    """Where on the claw, in words, when it was said so."""
    lactation: int | None = None
    """Lactation number on the day, when known."""

    @property
    def is_lesion(self) -> bool:
        """A lesion was there on the day; neither `no lesion` nor one said to be healed is."""
        return self.lesion != NO_LESION and self.course != "healed"


@dataclass(frozen=True, slots=True, kw_only=True)
class ActionRow(_OfVisit):
    """Something that was done; products are in the speaker's own words."""

    kind: str
    foot: str | None = None
    claw: str | None = None
    material: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowUpRow(_OfVisit):
    """Something due, `on` the day it was asked for; its date was spoken or comes from the trimmer's settings."""

    kind: str
    feet: tuple[str, ...] = ()
    """Where said of it; else it is of what the entry found or did."""
    claw: str | None = None
    due_on: dt.date | None = None
    in_days: int | None = None
    when: str = ""
    """The interval or date as said."""
    snoozed_to: dt.date | None = None
    done_on: dt.date | None = None
    done_by_entry: int | None = None
    """Entry that settled it; None when a person ticked it off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LocomotionRow(_OfVisit):
    """A lameness score; the scale belongs to the number."""

    score: int
    scale: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureRow(_OfVisit):
    """A spoken measure, recorded and never judged."""

    what: str
    number: Decimal
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RemarkRow(_OfVisit):
    """A remark, word for word."""

    text: str
