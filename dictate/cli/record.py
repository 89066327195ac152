"""The confirmed record out of the program and in again: exports, and questions in SQL."""

import csv
import sys
from collections.abc import Iterator
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from rich.table import Table

from dictate.cli.common import add_plain, draw, farm_asked, opened, say
from dictate.errors import StoreError

if TYPE_CHECKING:
    from dictate.store.read_only import Asked


class Form(StrEnum):
    CSV = "csv"
    PARQUET = "parquet"
    ADE = "ade"
    YEAR = "year"


def export(
    folder: Annotated[Path, typer.Argument(help="Folder to write to.")],
    *,
    form: Annotated[
        Form, typer.Option("--form", help="Kind of files; `year`: one farm's year to hand over.")
    ] = Form.CSV,
    farm: Annotated[
        str | None,
        typer.Option("--farm", help="Farm for ADE and a year; CSV and Parquet hold all farms."),
    ] = None,
    with_claws: Annotated[
        bool,
        typer.Option("--with-claws", help="ADE: claw positions of later versions of the standard."),
    ] = False,
    year: Annotated[
        int | None,
        typer.Option(
            "--year", min=1950, max=2150, help="With --form year; else that of the last visit."
        ),
    ] = None,
) -> None:
    """Write the confirmed record as CSV, Parquet or ICAR Animal Data Exchange files."""
    from dictate.exchange.record_files import export_record

    with opened() as (database, settings), database.reading() as session:
        if form is Form.YEAR:
            from dictate.review.farm_year import write_farm_year

            at = farm_asked(session, settings, farm)
            counts = write_farm_year(session, settings, at, folder, year=year)
        elif form is Form.ADE:
            from dictate.exchange.ade_files import export_ade

            at = farm_asked(session, settings, farm)
            counts = export_ade(session, folder, at, with_claws=with_claws)
        else:
            counts = export_record(session, folder, form=form)
    for name, count in counts.items():
        typer.echo(f"{name}\t{count}")


def import_record(
    folder: Annotated[
        Path, typer.Argument(help="Folder that `dictate export` wrote (CSV or Parquet).")
    ],
) -> None:
    """Read an export back in, into an empty home folder; every field is as it was."""
    from dictate.exchange import record_files

    with opened() as (database, _), database.writing() as session:
        counts = record_files.import_record(session, folder)
    for name, count in counts.items():
        typer.echo(f"{name}\t{count}")


def sql(
    query: Annotated[
        str | None,
        typer.Argument(help="One statement; none reads statements from stdin, each ended by `;`."),
    ] = None,
    *,
    as_csv: Annotated[bool, typer.Option("--csv", help="Print CSV.")] = False,
) -> None:
    """Ask the database in SQL; nothing can be changed this way."""
    from dictate.store.read_only import reading_only

    with opened() as (_, settings), reading_only(settings.database_url) as ask:
        if query is not None:
            _answer(ask, query, as_csv=as_csv)
            return
        for statement in _statements():
            try:
                _answer(ask, statement, as_csv=as_csv)
            except StoreError as error:
                say(error.line)


def _statements() -> Iterator[str]:
    """Statements as they are typed; an interactive reader gets a prompt."""
    if sys.stdin.isatty():
        say(
            "Reading only. End a statement with `;`. Tables: docs/reference/database.md. Ctrl-D ends."
        )
    text = ""
    for line in sys.stdin:
        text += line
        if text.rstrip().endswith(";"):
            yield text
            text = ""
    if text.strip():
        yield text


def _answer(ask: "Asked", query: str, *, as_csv: bool) -> None:
    from dictate.exchange.values import guarded

    headings, rows = ask(query)
    if as_csv:
        writer = csv.writer(sys.stdout, lineterminator="\n")
        writer.writerow(headings)
        writer.writerows(
            [guarded(cell) if isinstance(cell, str) else cell for cell in row] for row in rows
        )
        return
    table = Table(*headings)
    for row in rows:
        add_plain(table, *("" if cell is None else str(cell) for cell in row))
    draw(table)
