"""One column's values as text in a CSV cell and as an Arrow type, each way and back unchanged.

In a cell: nothing is empty; a text that a spreadsheet would run as a formula gets a `'` in front
(and so does one that begins with `'`, so that taking it off again is safe); an empty text in a
column that may hold nothing is `'` alone. Dates are ISO 8601, moments are in UTC, JSON is compact
with sorted keys, decimal numbers keep their digits.
"""

import datetime as dt
import json
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import sqlalchemy as sa

from dictate.store.columns import DecimalText, UtcTime

_RISKY = ("=", "+", "-", "@", "\t", "\r", "\n", "'")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kind:
    """How one type is written."""

    field_type: str
    """Type name of the Table Schema standard."""
    arrow: str
    """Name of the Arrow type in `parquet_files`."""
    to_text: Callable[[Any], str]
    from_text: Callable[[str], Any]
    to_arrow: Callable[[Any], Any]
    from_arrow: Callable[[Any], Any]


def _same(value: Any) -> Any:
    return value


def _json_text(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def _utc(text: str) -> dt.datetime:
    return dt.datetime.fromisoformat(text).astimezone(dt.UTC)


def _whole(text: str) -> int:
    """A number that a database's widest integer column holds (64 bits with a sign)."""
    if not -(2**63) <= (number := int(text)) < 2**63:
        raise ValueError("is no number of at most 64 bits")
    return number


def guarded(text: str) -> str:
    """Keep a spreadsheet from running a text as a formula."""
    return f"'{text}" if text.startswith(_RISKY) else text


def unguarded(text: str) -> str:
    """Undo `guarded`."""
    return text.removeprefix("'")


_TEXT = _Kind(field_type="string", arrow="text", to_text=guarded, from_text=unguarded, to_arrow=_same, from_arrow=_same)  # fmt: skip
_JSON = _Kind(field_type="string", arrow="text", to_text=_json_text, from_text=json.loads, to_arrow=_json_text, from_arrow=json.loads)  # fmt: skip
_DECIMAL = _Kind(field_type="number", arrow="text", to_text=str, from_text=Decimal, to_arrow=str, from_arrow=Decimal)  # fmt: skip
_TIME = _Kind(field_type="datetime", arrow="moment", to_text=dt.datetime.isoformat, from_text=_utc, to_arrow=_same, from_arrow=lambda v: v.astimezone(dt.UTC))  # fmt: skip
_DATE = _Kind(field_type="date", arrow="day", to_text=dt.date.isoformat, from_text=dt.date.fromisoformat, to_arrow=_same, from_arrow=_same)  # fmt: skip
_FLAG = _Kind(field_type="boolean", arrow="flag", to_text=lambda v: "true" if v else "false", from_text=lambda t: {"true": True, "false": False}[t], to_arrow=bool, from_arrow=_same)  # fmt: skip
_FLOAT = _Kind(field_type="number", arrow="float", to_text=repr, from_text=float, to_arrow=float, from_arrow=_same)  # fmt: skip
_WHOLE = _Kind(field_type="integer", arrow="whole", to_text=str, from_text=_whole, to_arrow=_same, from_arrow=_same)  # fmt: skip


def _kind_of(kind: sa.types.TypeEngine[Any]) -> _Kind:
    for known, how in (
        (DecimalText, _DECIMAL),
        (UtcTime, _TIME),
        (sa.JSON, _JSON),
        (sa.Boolean, _FLAG),
        (sa.Date, _DATE),
        (sa.Integer, _WHOLE),
        (sa.Float, _FLOAT),
        (sa.String, _TEXT),
    ):
        if isinstance(kind, known):
            return how
    if isinstance(kind, sa.types.TypeDecorator):
        return _kind_of(kind.impl_instance)
    raise TypeError(f"no way to export a column of {kind!r}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of an exported table."""

    name: str
    may_be_empty: bool
    kind: _Kind
    names_table: str | None = None
    """Table whose id it holds."""

    def to_cell(self, value: Any) -> str:
        if value is None:
            return ""
        text = self.kind.to_text(value)
        return "'" if text == "" and self.may_be_empty else text

    def from_cell(self, text: str) -> Any:
        """Raise ValueError (or KeyError) for what is no value of this column."""
        if text == "" and self.may_be_empty:
            return None
        return self.kind.from_text(text)

    def to_arrow(self, value: Any) -> Any:
        return None if value is None else self.kind.to_arrow(value)

    def from_arrow(self, value: Any) -> Any:
        return None if value is None else self.kind.from_arrow(value)


def column_of(column: sa.Column[Any]) -> Column:
    """Describe a column of the store for export."""
    names = next((key.column.table.name for key in column.foreign_keys), None)
    return Column(
        name=column.name,
        may_be_empty=bool(column.nullable),
        kind=_kind_of(column.type),
        names_table=names,
    )
