"""Column types that mean the same on SQLite and on PostgreSQL."""

import datetime as dt
from decimal import Decimal
from typing import Any

from sqlalchemy import JSON, BigInteger, DateTime, Integer, String
from sqlalchemy.engine import Dialect
from sqlalchemy.sql.operators import OperatorType
from sqlalchemy.types import TypeDecorator, TypeEngine

BIG_KEY = BigInteger().with_variant(Integer, "sqlite")
"""Key of the tables that grow without end; SQLite numbers only plain INTEGER keys by itself."""


class JsonColumn(TypeDecorator[Any]):
    """Plain data; `jsonb` on PostgreSQL, whose types are slow to load and needed by few."""

    impl = JSON
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        if dialect.name != "postgresql":
            return dialect.type_descriptor(JSON(none_as_null=True))
        from sqlalchemy.dialects.postgresql import JSONB  # noqa: PLC0415

        return dialect.type_descriptor(JSONB(none_as_null=True))

    def coerce_compared_value(self, op: OperatorType | None, value: Any) -> Any:
        return self.impl_instance.coerce_compared_value(op, value)


JSON_COLUMN = JsonColumn()


class UtcTime(TypeDecorator[dt.datetime]):
    """A moment, kept in UTC and always given back with its zone; SQLite alone would drop the zone."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: dt.datetime | None, dialect: Dialect) -> dt.datetime | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"{value} has no time zone")
        return value.astimezone(dt.UTC)

    def process_result_value(self, value: Any, dialect: Dialect) -> dt.datetime | None:
        if value is None:
            return None
        return value.replace(tzinfo=dt.UTC) if value.tzinfo is None else value.astimezone(dt.UTC)


class DecimalText(TypeDecorator[Decimal]):
    """A decimal number kept as its digits, so that `80.0` stays `80.0` on every database."""

    impl = String(40)
    cache_ok = True

    def process_bind_param(self, value: Decimal | None, dialect: Dialect) -> str | None:
        return None if value is None else str(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> Decimal | None:
        return None if value is None else Decimal(value)
