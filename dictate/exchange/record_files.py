"""The confirmed record out to a folder of files, and back in from one.

Exporting, importing into an empty database and exporting again gives the same files, byte for byte.
"""

from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

import sqlalchemy as sa
from pydantic import ValidationError
from sqlmodel import Session

from dictate.errors import StoreError
from dictate.exchange.package import FILE_NAME, read_package, write_package
from dictate.exchange.tables import EXPORTED, Exported
from dictate.store.record_entry import settle_all_cases
from dictate.written import sync_folder

FORMS = ("csv", "parquet")
_BATCH = 5_000


def export_record(session: Session, folder: Path, *, form: str = "csv") -> dict[str, int]:
    """Write one file for each table and `datapackage.json`; return the rows of each table.

    Raises:
        StoreError: the folder holds something else, or cannot be written.
    """
    files = _module(form)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if any(folder.iterdir()) and not (folder / FILE_NAME).exists():
            raise StoreError(
                "holds something else", where=str(folder), remedy="Name an empty folder"
            )
        # Without its description it is no export: nobody reads new tables beside old ones.
        (folder / FILE_NAME).unlink(missing_ok=True)
        sync_folder(folder)
        counts = {
            exported.name: files.write_table(
                folder / f"{exported.name}{files.SUFFIX}",
                exported.columns,
                exported.headings,
                exported.rows(session),
            )
            for exported in EXPORTED
        }
        write_package(folder, files.SUFFIX, counts)
    except OSError as error:
        raise StoreError(
            f"cannot be written: {error.strerror}", where=str(folder), remedy="Name another folder"
        ) from error
    return counts


def import_record(session: Session, folder: Path) -> dict[str, int]:
    """Read an export into an empty database, ids and all; return the rows of each table.

    Raises:
        StoreError: the folder is no complete export, a file is damaged, or the database has a record
            already. Nothing is written then: the caller's session is not committed.
    """
    suffix, expected = read_package(folder)
    if suffix.removeprefix(".") not in FORMS:
        raise StoreError(
            f"{suffix} files cannot be read", where=str(folder), remedy="Export as CSV or Parquet"
        )
    files = _module(suffix.removeprefix("."))
    for exported in EXPORTED:
        if session.execute(sa.select(exported.table.c.id).limit(1)).first() is not None:
            raise StoreError(
                f"the database has a record already (table {exported.name})",
                remedy="Import into a new home folder: set DICTATE_HOME to an empty one",
            )
    counts = {}
    for exported in EXPORTED:
        rows = list(files.read_table(folder / f"{exported.name}{suffix}", exported.columns))
        if len(rows) != expected[exported.name]:
            raise StoreError(
                f"has {len(rows)} rows, its description says {expected[exported.name]}",
                where=str(folder / f"{exported.name}{suffix}"),
                remedy="Export again; nothing was imported",
            )
        _must_have_shape(exported, rows, folder / f"{exported.name}{suffix}")
        _insert(session, exported, rows)
        counts[exported.name] = len(rows)
    settle_all_cases(session)
    return counts


def _module(form: str) -> ModuleType:
    """Load what writes a form when it is used: Arrow is large, and an extra."""
    return import_module(f"dictate.exchange.{form}_files")


def _must_have_shape(exported: Exported, rows: Sequence[dict[str, Any]], path: Path) -> None:
    """Any JSON fits a column of JSON; what reads it later needs more."""
    for name, shape in exported.shapes.items():
        for at, row in enumerate(rows, start=1):
            try:
                shape.validate_python(row[name])
            except ValidationError as error:
                first = error.errors()[0]
                raise StoreError(
                    f"row {at}, {name}: {first['msg']}",
                    where=str(path),
                    remedy="Correct the cell, or export again; nothing was imported",
                ) from error


def _insert(session: Session, exported: Exported, rows: Sequence[dict[str, Any]]) -> None:
    own = next(
        (column.name for column in exported.columns if column.names_table == exported.name), None
    )
    ordered = sorted(rows, key=lambda row: row[own] is not None) if own else rows
    try:
        for start in range(0, len(ordered), _BATCH):
            session.execute(sa.insert(exported.table), ordered[start : start + _BATCH])
    except sa.exc.IntegrityError as error:
        raise StoreError(
            f"table {exported.name}: {error.orig}", remedy="Export again; nothing was imported"
        ) from error
    if rows and session.get_bind().dialect.name == "postgresql":
        # Rows came with their ids; the next new row must not get one of them.
        name = exported.name
        session.execute(
            sa.text(
                f"SELECT setval(pg_get_serial_sequence('{name}', 'id'), (SELECT max(id) FROM {name}))"  # noqa: S608
            )
        )
