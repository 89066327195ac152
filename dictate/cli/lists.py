"""What the commands that take a list in share: their options, a look at the list, what was refused."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import say
from dictate.entry.terms import FEET
from dictate.entry.wording import counted
from dictate.errors import DictateError, RosterError, StoreError
from dictate.exchange.roster import Columns, Refused, Table, write_refused
from dictate.exchange.roster.dates import DateOrder
from dictate.written import write_whole

ListFile = Annotated[
    Path, typer.Argument(help="CSV, .xlsx, .xls, .ods with a heading line; packed or not.")
]
Preview = Annotated[
    bool, typer.Option("--preview", help="Show the first rows as read; take nothing in.")
]
Dates = Annotated[
    DateOrder | None, typer.Option(help="Whether 03/04 is a day in April or in March.")
]
Sheet = Annotated[str | None, typer.Option(help="Sheet of the workbook.")]
Encoding = Annotated[
    str | None, typer.Option(help="Set of letters of the file, e.g. cp1252; else found out.")
]
ToMend = Annotated[
    Path | None, typer.Option(help="File for the lines that were not taken in; else beside FILE.")
]
_SHOWN = 20
_PREVIEW = 6


@contextmanager
def faults_of(file: Path) -> Iterator[None]:
    """Name the file in what is wrong with it."""
    try:
        yield
    except RosterError as error:
        raise RosterError(error.what, where=str(file), remedy=error.remedy) from error


@contextmanager
def told_faults() -> Iterator[None]:
    """A look at a list ends with what is wrong with it, said and no failure."""
    try:
        yield
    except DictateError as error:
        say(error.line)


def say_refused(refused: Sequence[Refused]) -> None:
    """The first of them, each with its line and reason."""
    for one in refused[:_SHOWN]:
        say(f"  {one.said}")


def given_columns(said: list[str], several: Collection[str] = ()) -> dict[str, tuple[str, ...]]:
    """`--column number="Koenummer"` as field to heading; `several` may be said more than once."""
    given: dict[str, tuple[str, ...]] = {}
    for one in said:
        field, sign, heading = one.partition("=")
        if not sign or not heading.strip():
            raise typer.BadParameter(f'--column {one!r} is not like number="Koenummer"')
        name = _field(field)
        if name in given and name not in several:
            raise typer.BadParameter(f"--column {name}= is said twice")
        given[name] = (*given.get(name, ()), heading)
    return given


def _field(said: str) -> str:
    """Feet are fields in capitals, all others in small letters."""
    name = said.strip().replace("-", "_")
    return name.upper() if name.upper() in FEET else name.lower()


def show_columns(table: Table, columns: Columns, fields: Mapping[str, str]) -> None:
    """Print each column, what it is taken for, and its first cells."""
    body = table.rows[columns.start :]
    say(f"Read as {table.how}; {counted(len(body), 'row')}.")
    for at in range(max(columns.width, len(columns.headings))):
        taken = columns.fields.get(at)
        cells = [row.texts[at].strip() for row in body[:_PREVIEW] if at < len(row.cells)]
        typer.echo(
            f"{at + 1}\t{columns.heading(at)}\t{fields[taken] if taken else '(not taken)'}"
            f"\t{' | '.join(cells)}"
        )


def report_refused(
    file: Path, columns: Columns, refused: list[Refused], to_mend: Path | None
) -> None:
    """Say which lines were not taken in, and put them into a file to mend."""
    if not refused:
        return
    say(f"{counted(len(refused), 'line')} not taken in:")
    say_refused(refused)
    if len(refused) > _SHOWN:
        say(f"  and {len(refused) - _SHOWN} more")
    path = to_mend or file.with_name(f"{file.stem} to mend.csv")
    try:
        write_whole(path, write_refused(refused, columns))
    except StoreError as error:
        say(f"{path}: {error.what}. Name a file with --to-mend")
    else:
        say(f"They stand in {path}: correct them there and take that file in.")
