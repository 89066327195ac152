"""Take a farm's roster in from a CSV or Excel file, or list it."""

import datetime as dt
import sys
from collections.abc import Callable
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import By, Farm, Json, opened, print_json, say
from dictate.errors import DictateError, RosterError, StoreError
from dictate.exchange.roster import (
    FIELDS,
    Columns,
    Refused,
    RosterRead,
    Table,
    find_columns,
    read_rows,
    read_table_file,
    write_refused,
)
from dictate.exchange.roster.columns import LEFT_OUT
from dictate.exchange.roster.dates import DateOrder
from dictate.record.identify import herd_warnings
from dictate.store.queries import farm_by_name
from dictate.store.record_queries import animal_rows
from dictate.store.roster import (
    ManyLeaveError,
    RosterChange,
    keep_columns,
    kept_columns,
    take_in_roster,
)
from dictate.written import write_whole


class Returned(StrEnum):
    """What the number of an animal that had left means."""

    SAME = "same"
    NEW = "new"


app = typer.Typer(help=__doc__, no_args_is_help=True)
_SHOWN = 20
_PREVIEW = 6


@app.command("import")
def take_in(
    file: Annotated[Path, typer.Argument(help="CSV or .xlsx with a heading line.")],
    *,
    farm: Farm = None,
    column: Annotated[
        list[str] | None,
        typer.Option(
            help=f'Which column is what: number="Koenummer", or its place: eid=2, or left out: '
            f"status={LEFT_OUT}. Fields: {', '.join(FIELDS)}. Kept for the farm."
        ),
    ] = None,
    preview: Annotated[
        bool, typer.Option("--preview", help="Show the first rows as read; take nothing in.")
    ] = False,
    dates: Annotated[
        DateOrder | None, typer.Option(help="Whether 03/04 is a day in April or in March.")
    ] = None,
    sheet: Annotated[str | None, typer.Option(help="Sheet of the workbook.")] = None,
    encoding: Annotated[
        str | None, typer.Option(help="Set of letters of the file, e.g. cp1252; else found out.")
    ] = None,
    complete: Annotated[
        bool, typer.Option("--complete", help="It is the whole herd: others leave the roster.")
    ] = False,
    yes: Annotated[
        bool, typer.Option("--yes", help="Do not ask, even when many animals would leave.")
    ] = False,
    returned: Annotated[
        Returned | None,
        typer.Option(
            help="Numbers of animals that had left: `same` animal again, or a `new` one; else asked."
        ),
    ] = None,
    to_mend: Annotated[
        Path | None,
        typer.Option(help="File for the lines that were not taken in; else beside FILE."),
    ] = None,
    by: By = None,
) -> None:
    """Take a roster in; animals keep their history when they leave, return or change their number."""
    given = _given(column or [])
    table = read_table_file(file, sheet=sheet, encoding=encoding)
    with opened() as (database, settings):
        name = farm or settings.farm
        if name is None and not preview:
            raise typer.BadParameter("name the farm with --farm, or set `farm` in settings.toml")
        with database.reading() as session:
            kept = kept_columns(session, name)
        columns = find_columns(table, given=given, kept=kept)
        if preview:
            _preview(table, columns, dates)
            return
        try:
            read = read_rows(table, columns, dates=dates, today=dt.date.today())  # noqa: DTZ011
        except RosterError as error:
            raise RosterError(error.what, where=str(file), remedy=error.remedy) from error
        if not read.lines and (read.refused or not complete):
            _report(file, read, [*read.refused], to_mend)
            raise RosterError("no line is an animal; nothing was taken in", where=str(file))
        _warn(read)
        whole = complete and not read.animals_refused
        if complete and not whole:
            say("Lines were refused, so nobody is taken off the roster: mend them first.")
        who = by or settings.trimmer
        keep = kept | columns.kept if given else {}

        def attempt(*, sure: bool, again: bool | None) -> RosterChange:
            with database.writing() as session:
                at = farm_by_name(session, name or "", make=True)
                if keep:
                    keep_columns(session, at, keep, by=who)
                return take_in_roster(
                    session, at, read.lines, by=who, complete=whole, sure=sure, returned=again
                )

        again = None if returned is None else returned is Returned.SAME
        change = _asked(attempt, sure=yes, again=again)
    undecided = _undecided(read, change)
    _report(file, read, [*read.refused, *undecided], to_mend)
    typer.echo(", ".join(f"{count} {what}" for what, count in change.model_dump().items()))
    if change.came_back:
        say(
            "Numbers of animals that had left: say --returned same (they are back) or --returned new."
        )


@app.command("list")
def show(*, farm: Farm = None, as_json: Json = False) -> None:
    """List the animals of a farm."""
    with opened() as (database, settings), database.reading() as session:
        name = farm or settings.farm
        animals = animal_rows(session, farm_id=farm_by_name(session, name).id if name else None)
    if as_json:
        print_json(animals)
        return
    for animal in animals:
        told = (animal.number, animal.ear_tag, animal.eid, animal.name, animal.status)
        typer.echo("\t".join(part or "" for part in told))
    if not animals:
        say("No animals yet: dictate roster import FILE")


def _given(said: list[str]) -> dict[str, str]:
    """`--column number="Koenummer"` as field to heading."""
    given = {}
    for one in said:
        field, sign, heading = one.partition("=")
        if not sign or not heading.strip():
            raise typer.BadParameter(f'--column {one!r} is not like number="Koenummer"')
        given[field.strip().replace("-", "_").lower()] = heading
    return given


def _preview(table: Table, columns: Columns, dates: DateOrder | None) -> None:
    """The columns, what they are taken for, and the first rows."""
    body = table.rows[columns.start :]
    say(f"Read as {table.how}; {len(body)} rows.")
    for at in range(max(columns.width, len(columns.headings))):
        taken = columns.fields.get(at)
        cells = [row.texts[at].strip() for row in body[:_PREVIEW] if at < len(row.cells)]
        typer.echo(
            f"{at + 1}\t{columns.heading(at)}\t{FIELDS[taken] if taken else '(not taken)'}"
            f"\t{' | '.join(cells)}"
        )
    try:
        read = read_rows(table, columns, dates=dates, today=dt.date.today())  # noqa: DTZ011
    except DictateError as error:
        say(error.line)
        return
    say(f"{len(read.lines)} animals, {len(read.refused)} lines refused.")
    for one in read.refused[:_SHOWN]:
        say(f"  {one.said}")


def _warn(read: RosterRead) -> None:
    for told in read.told:
        say(told)
    for warning in herd_warnings((line.number, line.eid, line.ear_tag) for line in read.lines):
        say(warning)


def _terminal() -> bool:
    return sys.stdin.isatty()


def _asked(attempt: Callable[..., RosterChange], *, sure: bool, again: bool | None) -> RosterChange:
    """Take the lines in; ask whether animals are back where only their number is."""
    change = _attempted(attempt, sure=sure, again=again)
    if not change.came_back or again is not None or not _terminal():
        return change
    some = ", ".join(change.came_back[:10])
    same = typer.confirm(f"{some}: borne by animals that left. Are they those animals again?")
    return _joined(change, _attempted(attempt, sure=sure, again=same))


def _attempted(
    attempt: Callable[..., RosterChange], *, sure: bool, again: bool | None
) -> RosterChange:
    """Ask when many animals would leave; without a terminal the error says what to say."""
    try:
        return attempt(sure=sure, again=again)
    except ManyLeaveError as error:
        if not _terminal():
            raise
        say(error.what)
        if not typer.confirm("Take them off? They keep their history."):
            raise
        return attempt(sure=True, again=again)


def _joined(first: RosterChange, then: RosterChange) -> RosterChange:
    """What two goes did together; the second saw what the first had done."""
    sums = {name: getattr(first, name) + getattr(then, name) for name in first.model_dump()}
    return RosterChange(**sums, undecided=then.undecided, came_back=then.came_back)


def _undecided(read: RosterRead, change: RosterChange) -> list[Refused]:
    return [
        Refused(row=row, why=(change.undecided[line.number],))
        for line, row in zip(read.lines, read.rows, strict=True)
        if line.number in change.undecided
    ]


def _report(file: Path, read: RosterRead, refused: list[Refused], to_mend: Path | None) -> None:
    """Say which lines were not taken in, and put them into a file to mend."""
    if not refused:
        return
    say(f"{len(refused)} lines were not taken in:")
    for one in refused[:_SHOWN]:
        say(f"  {one.said}")
    if len(refused) > _SHOWN:
        say(f"  and {len(refused) - _SHOWN} more")
    path = to_mend or file.with_name(f"{file.stem} to mend.csv")
    try:
        write_whole(path, write_refused(refused, read.columns))
    except StoreError as error:
        say(f"{path}: {error.what}. Name a file with --to-mend")
    else:
        say(f"They stand in {path}: correct them there and take that file in.")
