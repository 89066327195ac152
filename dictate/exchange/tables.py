"""What an export holds: every confirmed entry with its evidence, and the herd record made from it."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import sqlalchemy as sa
from pydantic import TypeAdapter
from sqlmodel import Session, SQLModel

from dictate.entry.values import EntryValues, WordsRead
from dictate.exchange.values import Column, column_of
from dictate.store.columns import JsonColumn
from dictate.store.record_tables import RECORD_TABLES
from dictate.store.states import EntryState
from dictate.store.tables import Animal, Clip, Entry, Event, Farm, Note, Reading, Trimmer, Visit

_BATCH = 10_000
_READ_ALONG = ("farm_name", "animal_number")
"""Columns repeated for people who open one file alone; importing leaves them aside."""


_SHAPES: dict[tuple[str, str], Any] = {
    ("entry", "content"): EntryValues,
    ("reading", "content"): WordsRead,
    ("reading", "entries"): list[EntryValues],
}
"""Columns of JSON that hold more than their own type says."""


@dataclass(frozen=True, kw_only=True)
class Exported:
    """One table of the export."""

    model: type[SQLModel]
    chosen: sa.ColumnElement[bool] | None = None
    """Which rows; None is all of them."""
    read_along: bool = False

    @property
    def table(self) -> sa.Table:
        return self.model.__table__  # type: ignore[attr-defined]

    @property
    def name(self) -> str:
        return self.table.name

    @property
    def columns(self) -> tuple[Column, ...]:
        """The table's own columns, in their order."""
        return tuple(column_of(column) for column in self.table.columns)

    @cached_property
    def shapes(self) -> dict[str, TypeAdapter[Any]]:
        """What the columns that hold JSON must look like."""
        fields = self.model.model_fields
        return {
            column.name: TypeAdapter(
                _SHAPES.get((self.name, column.name), fields[column.name].annotation or Any)
            )
            for column in self.table.columns
            if isinstance(column.type, JsonColumn)
        }

    @property
    def headings(self) -> tuple[str, ...]:
        """Names of all columns in the file."""
        return tuple(column.name for column in self.columns) + (
            _READ_ALONG if self.read_along else ()
        )

    def rows(self, session: Session) -> Iterator[tuple[Any, ...]]:
        """Yield the rows by id, each with the values of `headings`."""
        table = self.table
        query = sa.select(*table.columns).order_by(table.c.id)
        if self.read_along:
            query = (
                query.add_columns(
                    _FARM.c.name.label("farm_name"), _ANIMAL.c.number.label("animal_number")
                )
                .join(_FARM, _FARM.c.id == table.c.farm_id)
                .join(_ANIMAL, _ANIMAL.c.id == table.c.animal_id)
            )
        if self.chosen is not None:
            query = query.where(self.chosen)
        for row in session.execute(query.execution_options(yield_per=_BATCH)):
            yield tuple(row)


_FARM: sa.Table = Farm.__table__  # type: ignore[attr-defined]
_ANIMAL: sa.Table = Animal.__table__  # type: ignore[attr-defined]
_ENTRY: sa.Table = Entry.__table__  # type: ignore[attr-defined]
_NOTE: sa.Table = Note.__table__  # type: ignore[attr-defined]
_EVENT: sa.Table = Event.__table__  # type: ignore[attr-defined]

_CONFIRMED = sa.select(_ENTRY.c.id).where(_ENTRY.c.state == EntryState.CONFIRMED)
_NOTES = sa.select(_ENTRY.c.note_id).where(_ENTRY.c.state == EntryState.CONFIRMED)
_CLIPS = sa.select(_NOTE.c.clip_id).where(_NOTE.c.id.in_(_NOTES))

EXPORTED: tuple[Exported, ...] = (
    Exported(model=Trimmer),
    Exported(model=Farm),
    Exported(model=Animal),
    Exported(model=Visit),
    Exported(model=Clip, chosen=Clip.__table__.c.id.in_(_CLIPS)),  # type: ignore[attr-defined]
    Exported(model=Note, chosen=_NOTE.c.id.in_(_NOTES)),
    Exported(model=Reading, chosen=Reading.__table__.c.note_id.in_(_NOTES)),  # type: ignore[attr-defined]
    Exported(model=Entry, chosen=_ENTRY.c.id.in_(_CONFIRMED)),
    *(Exported(model=table, read_along=True) for table in RECORD_TABLES),
    Exported(
        model=Event, chosen=(_EVENT.c.subject != "entry") | _EVENT.c.subject_id.in_(_CONFIRMED)
    ),
)
"""In an order in which every row comes after those it names."""
