"""Ask the database in SQL; nothing can be changed this way."""

import csv
import sys
from collections.abc import Iterator
from typing import Annotated

import typer
from rich.table import Table

from dictate.cli.common import opened, say, stdout
from dictate.cli.tables import add_plain
from dictate.errors import StoreError
from dictate.exchange.values import guarded
from dictate.store.read_only import Asked, reading_only

app = typer.Typer()


@app.command(help=__doc__)
def sql(
    query: Annotated[
        str | None,
        typer.Argument(help="One statement; none reads statements from stdin, each ended by `;`."),
    ] = None,
    *,
    as_csv: Annotated[bool, typer.Option("--csv", help="Print CSV.")] = False,
) -> None:
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


def _answer(ask: Asked, query: str, *, as_csv: bool) -> None:
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
    stdout.print(table)
