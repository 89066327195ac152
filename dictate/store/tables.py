"""Tables of the work: people, farms, animals, visits, and the way of a clip to its entries.

The herd record itself, filled only by confirming, stands in `record_tables`.  A row has its `id` once
it was flushed; rows that are read always have one.
"""

import datetime as dt
from typing import Any

from sqlalchemy import Column, Index, UniqueConstraint, false, text
from sqlmodel import Field, SQLModel

from dictate.entry.values import EntryValues, WordsRead
from dictate.store.columns import BIG_KEY, JSON_COLUMN, UtcTime
from dictate.store.states import AnimalStatus, EntryState, NoteState


def now() -> dt.datetime:
    """This moment in UTC."""
    return dt.datetime.now(dt.UTC)


class Trimmer(SQLModel, table=True):
    """Who speaks the notes."""

    id: int = Field(default=None, primary_key=True)
    name: str = Field(unique=True)


class Farm(SQLModel, table=True):
    id: int = Field(default=None, primary_key=True)
    name: str = Field(unique=True)


class Animal(SQLModel, table=True):
    """One animal of a farm. It keeps its history when it leaves; its number may be given again."""

    __table_args__ = (
        # In PostgreSQL the migration says the same; said here it would load that dialect, a tenth of
        # a second for every command.
        Index(
            "animal_present_number",
            "farm_id",
            "number",
            unique=True,
            sqlite_where=text("status = 'present' AND merged_into_id IS NULL"),
        ),
        Index("animal_eid", "farm_id", "eid"),
    )

    id: int = Field(default=None, primary_key=True)
    farm_id: int = Field(foreign_key="farm.id", index=True)
    number: str
    """Management number, as text."""
    eid: str | None = None
    """15-digit electronic number (ISO 11784)."""
    ear_tag: str | None = None
    """National ear tag."""
    name: str | None = None
    lactation: int | None = None
    calved_on: dt.date | None = None
    dried_off_on: dt.date | None = None
    status: str = AnimalStatus.PRESENT
    on_roster: bool = False
    """False for a number that only ever came from a confirmed note."""
    merged_into_id: int | None = Field(default=None, foreign_key="animal.id")
    """The animal this one turned out to be."""


class Visit(SQLModel, table=True):
    """One trimmer, one farm, one day."""

    __table_args__ = (UniqueConstraint("farm_id", "trimmer_id", "date"),)

    id: int = Field(default=None, primary_key=True)
    farm_id: int = Field(foreign_key="farm.id", index=True)
    trimmer_id: int = Field(foreign_key="trimmer.id", index=True)
    date: dt.date = Field(index=True)
    whole_herd: bool | None = None
    """True: the whole herd was trimmed; False: part of it; None: not said."""


class Clip(SQLModel, table=True):
    """One piece of audio, kept in the sounds folder under its hash."""

    id: int = Field(default=None, sa_type=BIG_KEY, primary_key=True)
    sha256: str = Field(unique=True, max_length=64)
    visit_id: int = Field(foreign_key="visit.id", index=True)
    file_name: str
    """Name of the file as it came, without its folder."""
    suffix: str
    """Suffix of the kept file, e.g. `.flac`."""
    seconds: float
    source_rate: int
    """Hz."""
    channels: int
    recorded_at: dt.datetime | None = Field(default=None, sa_column=Column(UtcTime))
    recorded_from: str = ""
    """Where that time came from: `file name`, `file time` or `given`."""
    taken_in_at: dt.datetime = Field(default_factory=now, sa_column=Column(UtcTime, nullable=False))


class Note(SQLModel, table=True):
    """What one clip said, as the engine heard it; the heard words never change."""

    id: int = Field(default=None, sa_type=BIG_KEY, primary_key=True)
    clip_id: int = Field(sa_type=BIG_KEY, foreign_key="clip.id", unique=True)
    visit_id: int = Field(foreign_key="visit.id", index=True)
    state: str = Field(default=NoteState.HEARD, index=True)
    engine: str
    model: str
    words: list[dict[str, Any]] = Field(sa_column=Column(JSON_COLUMN, nullable=False))
    """`text`, `start`, `end`, `confidence` of each word."""
    alternatives: list[list[dict[str, Any]]] = Field(sa_column=Column(JSON_COLUMN, nullable=False))
    """The engine's other hearings, best first, in the same form."""
    fits: list[dict[str, Any]] = Field(
        default_factory=list, sa_column=Column(JSON_COLUMN, nullable=False, server_default="[]")
    )
    """How well each stretch of speech was understood: `start`, `end`, `fit`, `agreement`, `machines`."""
    again: dict[str, Any] | None = Field(default=None, sa_column=Column(JSON_COLUMN))
    """What a second listener heard: `by` (engine and model) and `words`; null while none listened."""
    cut_out: bool = Field(default=False, sa_column_kwargs={"server_default": false()})
    """Cut from a recording of more than notes, so that talk in it may be left aside."""
    has_speech: bool = True
    """False when the speech gate found none; the engine was then not asked."""
    seconds_taken: float = 0.0
    heard_at: dt.datetime = Field(default_factory=now, sa_column=Column(UtcTime, nullable=False))

    @property
    def hearings(self) -> list[list[dict[str, Any]]]:
        """The words of every hearing: the engine's, likeliest first, and the second listener's."""
        return [self.words, *self.alternatives, *([self.again["words"]] if self.again else [])]


class Reading(SQLModel, table=True):
    """One reading of a note's words by the grammar; never changed, the newest one counts."""

    id: int = Field(default=None, sa_type=BIG_KEY, primary_key=True)
    note_id: int = Field(sa_type=BIG_KEY, foreign_key="note.id", index=True)
    origin: str
    """`heard`; `typed` when a person typed the words; `again` after something learnt or fixed."""
    who: str
    """The program (`dictate`) or the person who typed."""
    lexicon: str
    """Version of the lexicon."""
    carried_in: str | None = None
    """Animal handed over by the note before."""
    carried_out: str | None = None
    """Animal handed to the next note."""
    content: dict[str, Any] = Field(sa_column=Column(JSON_COLUMN, nullable=False))
    """`WordsRead`: the words as they were read, spoken commands, words left over."""
    entries: list[dict[str, Any]] = Field(sa_column=Column(JSON_COLUMN, nullable=False))
    """`EntryValues` of each entry as it went to the queue."""
    read_at: dt.datetime = Field(default_factory=now, sa_column=Column(UtcTime, nullable=False))

    @property
    def said(self) -> WordsRead:
        return WordsRead.model_validate(self.content)


class Entry(SQLModel, table=True):
    """One animal's findings and actions in a note, waiting, confirmed or rejected."""

    __table_args__ = (
        UniqueConstraint("note_id", "position"),
        Index("entry_visit_state", "visit_id", "state"),
    )

    id: int = Field(default=None, sa_type=BIG_KEY, primary_key=True)
    note_id: int = Field(sa_type=BIG_KEY, foreign_key="note.id")
    visit_id: int = Field(foreign_key="visit.id")
    position: int
    """Place in the note, from 0."""
    state: str = Field(default=EntryState.WAITING)
    version: int = 1
    """Goes up with every change; a change must name the version it saw."""
    touched: bool = False
    """True once a person changed or decided it; it is then never read again by itself."""
    content: dict[str, Any] = Field(sa_column=Column(JSON_COLUMN, nullable=False))
    """`EntryValues` as they stand now, see `values`; the reading keeps them as they came."""
    animal_id: int | None = Field(default=None, foreign_key="animal.id", index=True)
    """Set by confirming."""
    confirmed_how: str | None = None
    """`one`, or `unmarked` when many were confirmed in one act."""
    confirmed_by: str | None = None
    confirmed_at: dt.datetime | None = Field(default=None, sa_column=Column(UtcTime))
    reason: str | None = None
    """Why it was rejected."""

    @property
    def values(self) -> EntryValues:
        """What it says now; setting it is the way to change that."""
        return EntryValues.model_validate(self.content)

    @values.setter
    def values(self, values: EntryValues) -> None:
        self.content = values.model_dump(mode="json")


class Event(SQLModel, table=True):
    """The history: one line for every change, only ever added to."""

    __table_args__ = (Index("event_subject", "subject", "subject_id"),)

    id: int = Field(default=None, sa_column=Column(BIG_KEY, primary_key=True))
    at: dt.datetime = Field(default_factory=now, sa_column=Column(UtcTime, nullable=False))
    who: str
    kind: str
    """`queued`, `amended`, `confirmed`, `rejected`, `undone`, `read again` …"""
    subject: str
    """Table of the thing that changed."""
    subject_id: int = Field(sa_type=BIG_KEY)
    act: str = Field(index=True)
    """Same for all events of one act, such as confirming many."""
    before: dict[str, Any] | None = Field(default=None, sa_column=Column(JSON_COLUMN))
    after: dict[str, Any] | None = Field(default=None, sa_column=Column(JSON_COLUMN))
    undoes_id: int | None = Field(
        default=None, sa_column=Column(BIG_KEY, nullable=True, unique=True)
    )
    """The event taken back by this one."""


class Alias(SQLModel, table=True):
    """A mis-hearing that a trimmer taught: these heard words mean this term."""

    __table_args__ = (UniqueConstraint("trimmer_id", "heard"),)

    id: int = Field(default=None, primary_key=True)
    trimmer_id: int = Field(foreign_key="trimmer.id", index=True)
    heard: str
    term: str
    taught_at: dt.datetime = Field(default_factory=now, sa_column=Column(UtcTime, nullable=False))
