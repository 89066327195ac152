"""The herd record: rows made only by confirming an entry, and taken out again by undoing it.

Every row names its entry (the evidence), animal, visit, farm and the visit's date, so that lists
and pictures need no further joins.
"""

import datetime as dt
from decimal import Decimal

from sqlalchemy import Column, ForeignKey, Index
from sqlmodel import Field, SQLModel

from dictate.store.columns import BIG_KEY, JSON_COLUMN, DecimalText


class _Recorded(SQLModel):
    """What all rows of the record share."""

    entry_id: int = Field(sa_type=BIG_KEY, foreign_key="entry.id", index=True)
    animal_id: int = Field(foreign_key="animal.id")
    visit_id: int = Field(foreign_key="visit.id", index=True)
    farm_id: int = Field(foreign_key="farm.id")
    date: dt.date
    """Day of the visit."""
    position: int
    """Place among its like in the entry, from 0."""


def _key() -> int:
    return Field(default=None, sa_type=BIG_KEY, primary_key=True)


class Finding(_Recorded, table=True):
    """A lesion, or `no lesion`, at a foot, claw and zone."""

    __table_args__ = (
        Index("finding_farm_date", "farm_id", "date"),
        Index("finding_animal_date", "animal_id", "date"),
    )

    id: int = _key()
    foot: str | None = None
    claw: str | None = None
    zone: int | None = None
    lesion: str
    stage: str | None = None
    severity: str | None = None
    heard: str = ""
    object: str | None = None
    course: str | None = None
    tissue: list[str] = Field(default_factory=list, sa_column=Column(JSON_COLUMN, nullable=False))
    region: str | None = None
    """Where on the claw, in words."""
    lactation: int | None = None
    """Of the animal on the day, when known."""


class Action(_Recorded, table=True):
    """What was done."""

    __table_args__ = (
        Index("action_farm_date", "farm_id", "date"),
        Index("action_animal_date", "animal_id", "date"),
    )

    id: int = _key()
    kind: str
    foot: str | None = None
    claw: str | None = None
    material: str | None = None
    """In the speaker's own words."""


class FollowUp(_Recorded, table=True):
    """Something due; `date` is the day it was said, `due_on` the day it is due."""

    __tablename__ = "follow_up"
    __table_args__ = (
        Index("follow_up_farm_due", "farm_id", "due_on"),
        Index("follow_up_animal_date", "animal_id", "date"),
    )

    id: int = _key()
    kind: str
    feet: str = ""
    """Where said of it: `LF RF`; else it is of what the entry found or did."""
    claw: str | None = None
    due_on: dt.date | None = None
    """None when no date was said."""
    in_days: int | None = None
    said_when: str = ""
    """The interval or date as said."""
    snoozed_to: dt.date | None = None
    done_on: dt.date | None = None
    done_entry_id: int | None = Field(
        default=None, sa_column=Column(BIG_KEY, ForeignKey("entry.id"), index=True, nullable=True)
    )
    """The confirmed entry that showed it was done, if one did."""
    done_by: str | None = None


class Locomotion(_Recorded, table=True):
    __table_args__ = (Index("locomotion_animal_date", "animal_id", "date"),)

    id: int = _key()
    score: int
    scale: str | None = None
    """`1-5` or `0-3`."""


class Measure(_Recorded, table=True):
    """A spoken measure, recorded and never judged."""

    __table_args__ = (Index("measure_animal_date", "animal_id", "date"),)

    id: int = _key()
    what: str
    number: Decimal = Field(sa_column=Column(DecimalText, nullable=False))
    unit: str


class Remark(_Recorded, table=True):
    """Verbatim words."""

    __table_args__ = (Index("remark_animal_date", "animal_id", "date"),)

    id: int = _key()
    text: str


class Status(_Recorded, table=True):
    """Said of the whole animal: very lame, dry cow, straw pen, cull …"""

    __table_args__ = (Index("status_animal_date", "animal_id", "date"),)

    id: int = _key()
    text: str


class HerdCase(SQLModel, table=True):
    """A case of an animal, worked out from all its findings; made anew whenever one of them changes.

    It holds nothing that the findings do not say: it is there so that lists of a large herd need not
    read twenty years of findings.
    """

    __tablename__ = "herd_case"
    __table_args__ = (
        Index("herd_case_farm_closed", "farm_id", "closed_on"),
        Index("herd_case_farm_first", "farm_id", "first_on"),
    )

    id: int = _key()
    animal_id: int = Field(foreign_key="animal.id", index=True)
    """The animal, or the one it turned out to be."""
    farm_id: int = Field(foreign_key="farm.id")
    name: str
    """The lesion, or what the lesions seen are forms of."""
    foot: str | None = None
    claw: str | None = None
    first_on: dt.date
    last_on: dt.date
    """Last day the lesion was there."""
    visits: int
    """Visits at which it was there."""
    course: str
    """What the last note said of it: closed, healing, better, same, worse, new, seen again."""
    closed_on: dt.date | None = None
    after_closed: bool = False
    """An earlier case in the same place had been closed."""


class Seal(SQLModel, table=True):
    """The history up to an event, as one number: changing anything before it gives another number."""

    id: int = _key()
    through_id: int = Field(sa_column=Column(BIG_KEY, nullable=False, unique=True))
    """The last event that is under this seal."""
    sha256: str = Field(max_length=64)
    """Of the seal before and of every event since."""


RECORD_TABLES = (Finding, Action, FollowUp, Locomotion, Measure, Remark, Status)
