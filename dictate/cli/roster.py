"""Take a farm's roster in from a CSV file or a workbook, take it back, or list it."""

import datetime as dt
from typing import Annotated

import typer

from dictate.cli.common import By, Farm, Json, farm_named, opened, print_json, say
from dictate.cli.lists import (
    Dates,
    Encoding,
    ListFile,
    Preview,
    Sheet,
    ToMend,
    faults_of,
    given_columns,
    report_refused,
    say_refused,
    show_columns,
    told_faults,
)
from dictate.cli.roster_questions import OpenQuestionError, Returned, Zeros, asked, questions
from dictate.entry.wording import counted
from dictate.entry.wording import day as in_words
from dictate.errors import RosterError
from dictate.exchange.roster import (
    FIELDS,
    LEFT_OUT,
    Columns,
    Refused,
    RosterRead,
    Table,
    find_columns,
    read_rows,
    read_table_file,
)
from dictate.exchange.roster.dates import DateOrder
from dictate.record.identify import herd_warnings
from dictate.store.farms import farm_by_name
from dictate.store.record_queries import animal_rows
from dictate.store.roster import keep_columns, kept_columns, take_in_roster
from dictate.store.roster_lines import RosterChange
from dictate.store.roster_undo import undo_roster

app = typer.Typer(help=__doc__, no_args_is_help=True)


@app.command("import")
def take_in(
    file: ListFile,
    *,
    farm: Farm = None,
    column: Annotated[
        list[str] | None,
        typer.Option(
            help=f'Which column is what: number="Koenummer", or its place: eid=2, or left out: '
            f"status={LEFT_OUT}. Fields: {', '.join(FIELDS)}. Kept for the farm."
        ),
    ] = None,
    preview: Preview = False,
    dates: Dates = None,
    sheet: Sheet = None,
    encoding: Encoding = None,
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
    zeros: Annotated[
        Zeros | None,
        typer.Option(
            help="0412 where the herd has 412: the `same` animal, or an `other`; else asked."
        ),
    ] = None,
    to_mend: ToMend = None,
    by: By = None,
) -> None:
    """Take a roster in; animals keep their history when they leave, return or change their number."""
    given = given_columns(column or [])
    table = read_table_file(file, sheet=sheet, encoding=encoding)
    with opened() as (database, settings):
        name = farm or settings.farm if preview else farm_named(settings, farm)
        with database.reading() as session:
            kept = kept_columns(session, name)
        columns = find_columns(table, given=given, kept=kept)
        if preview:
            _preview(table, columns, dates, name)
            return
        with faults_of(file):
            read = read_rows(table, columns, dates=dates, farm=name, today=dt.date.today())  # noqa: DTZ011
        if not read.lines and (read.refused or not complete):
            report_refused(file, read.columns, [*read.refused], to_mend)
            raise RosterError("no line is an animal; nothing was taken in", where=str(file))
        _warn(read)
        whole = complete and not read.animals_refused
        if complete and not whole:
            say("Lines were refused, so nobody is taken off the roster: mend them first.")
        who = by or settings.trimmer
        keep = kept | columns.kept if given else {}

        def attempt(
            *, sure: bool, again: bool | None, zeros: bool | None, ask: bool
        ) -> RosterChange:
            with database.writing() as session:
                at = farm_by_name(session, name or "", make=True)
                if keep:
                    keep_columns(session, at, keep, by=who)
                change = take_in_roster(
                    session, at, read.lines, by=who, complete=whole, sure=sure, returned=again,
                    zeros=zeros, source=file.name,
                )  # fmt: skip
                if ask and questions(change):
                    raise OpenQuestionError(change)
                return change

        change = asked(
            attempt,
            sure=yes,
            again=None if returned is None else returned is Returned.SAME,
            zeros=None if zeros is None else zeros is Zeros.SAME,
        )
    undecided = _undecided(read, change)
    report_refused(file, read.columns, [*read.refused, *undecided], to_mend)
    typer.echo(", ".join(f"{count} {what}" for what, count in change.model_dump().items()))
    for question in questions(change):
        say(question)


@app.command("undo")
def undo(*, farm: Farm = None, by: By = None) -> None:
    """Take the newest list of a farm back, as one act; again for the one before."""
    with opened() as (database, settings), database.writing() as session:
        at = farm_by_name(session, farm_named(settings, farm))
        done = undo_roster(session, at, by=by or settings.trimmer)
    at_that = done.listed.at.astimezone()
    when = f"{in_words(at_that.date())} {at_that:%H:%M}"
    typer.echo(
        f"Taken back: the list {done.listed.file} of {when}: {counted(done.removed, 'new animal')}"
        f" removed, {done.kept} kept because of their entries, {done.put_back} as they were before"
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


def _preview(table: Table, columns: Columns, dates: DateOrder | None, farm: str | None) -> None:
    """The columns, what they are taken for, and the first rows."""
    show_columns(table, columns, FIELDS)
    with told_faults():
        read = read_rows(table, columns, dates=dates, farm=farm, today=dt.date.today())  # noqa: DTZ011
        say(f"{counted(len(read.lines), 'animal')}, {counted(len(read.refused), 'line')} refused.")
        say_refused(read.refused)


def _warn(read: RosterRead) -> None:
    for told in read.told:
        say(told)
    for warning in herd_warnings((line.number, line.eid, line.ear_tag) for line in read.lines):
        say(warning)


def _undecided(read: RosterRead, change: RosterChange) -> list[Refused]:
    return [
        Refused(row=row, why=(change.undecided[line.number],))
        for line, row in zip(read.lines, read.rows, strict=True)
        if line.number in change.undecided
    ]
