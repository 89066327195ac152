"""Tables as Apache Parquet files."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from pathlib import Path
from typing import Any

from dictate.errors import StoreError
from dictate.exchange.values import Column

try:
    import pyarrow as pa
    import pyarrow.parquet as pq
except ImportError:
    raise StoreError(
        "Parquet files need Arrow, which is not installed",
        remedy='Run: pip install "dictate[parquet]", or use CSV files',
    ) from None
from dictate.written import written_beside

SUFFIX = ".parquet"
_BATCH = 50_000
_TYPES = {
    "text": pa.string(),
    "moment": pa.timestamp("us", tz="UTC"),
    "day": pa.date32(),
    "flag": pa.bool_(),
    "float": pa.float64(),
    "whole": pa.int64(),
}


def write_table(
    path: Path, columns: Sequence[Column], headings: Sequence[str], rows: Iterable[Sequence[Any]]
) -> int:
    """Write one table, whole or not at all; its rows. Columns past the table's own are text."""
    count = 0
    more = headings[len(columns) :]
    fields = [
        pa.field(column.name, _TYPES[column.kind.arrow], nullable=column.may_be_empty)
        for column in columns
    ]
    schema = pa.schema(fields + [pa.field(name, pa.string()) for name in more])
    with (
        written_beside(path) as part,
        pq.ParquetWriter(part, schema, compression="zstd") as writer,
    ):
        source = iter(rows)
        while batch := list(islice(source, _BATCH)):
            count += len(batch)
            turned = list(zip(*batch, strict=True))
            arrays = [
                pa.array([column.to_arrow(value) for value in values], _TYPES[column.kind.arrow])
                for column, values in zip(columns, turned, strict=False)
            ]
            arrays += [pa.array(values, pa.string()) for values in turned[len(columns) :]]
            writer.write_batch(pa.record_batch(arrays, schema=schema))
    return count


def read_table(path: Path, columns: Sequence[Column]) -> Iterator[dict[str, Any]]:
    """Yield the rows of one table with the table's own columns.

    Raises:
        StoreError: the file cannot be read or lacks a column.
    """
    try:
        with pq.ParquetFile(path) as file:
            missing = [
                column.name for column in columns if column.name not in file.schema_arrow.names
            ]
            if missing:
                raise StoreError(
                    f"lacks the columns {', '.join(missing)}",
                    where=str(path),
                    remedy="Export again",
                )
            names = [column.name for column in columns]
            for batch in file.iter_batches(_BATCH, columns=names):
                lists = [batch.column(name).to_pylist() for name in names]
                for values in zip(*lists, strict=True):
                    pairs = zip(columns, values, strict=True)
                    yield {column.name: column.from_arrow(value) for column, value in pairs}
    except (OSError, pa.ArrowException, ValueError, RecursionError) as error:
        raise StoreError(
            f"cannot be read: {error}", where=str(path), remedy="Export again"
        ) from error
