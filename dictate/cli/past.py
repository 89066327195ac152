"""Take treatments of the past in from any tool's table, or take them back."""

import datetime as dt
from functools import partial
from typing import Annotated

import typer

from dictate.cli.common import By, Farm, day, farm_asked, opened, say
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
from dictate.entry.wording import counted
from dictate.errors import NotFoundError
from dictate.exchange.past import PAST, PastRead, one_visit_a_row, read_past
from dictate.exchange.past.kind import headings_in
from dictate.exchange.past.words import check_words
from dictate.exchange.roster import Refused, find_columns, read_table_file
from dictate.exchange.roster.dates import Unfit
from dictate.exchange.roster.words import folded
from dictate.review import acts
from dictate.store.past import (
    PastChange,
    keep_for_past,
    kept_for_past,
    newest_past,
    take_in_past,
)

app = typer.Typer(help=__doc__, no_args_is_help=True)


@app.command("import")
def take_in(
    file: ListFile,
    *,
    farm: Farm = None,
    column: Annotated[
        list[str] | None,
        typer.Option(
            help='Which column is what: lesion="Diagnosis", or its place: date=2, or left out: '
            f"zone=-. Fields: {', '.join(PAST.fields)}. Kept for the farm."
        ),
    ] = None,
    word: Annotated[
        list[str] | None,
        typer.Option(
            help="What a word of the list means: 'Mortellaro ulcerated=digital dermatitis', 'HL=LH',"
            " or nothing: 'checked=-'. Kept for the farm."
        ),
    ] = None,
    preview: Preview = False,
    dates: Dates = None,
    on: Annotated[
        str | None, typer.Option(help="Day of all rows, where the list has no column for it.")
    ] = None,
    day_above: Annotated[
        bool,
        typer.Option(
            "--day-above",
            help="A row without a day is of the day above it: in an earlier row, or on a line of its own.",
        ),
    ] = False,
    sheet: Sheet = None,
    encoding: Encoding = None,
    new: Annotated[
        bool,
        typer.Option("--new", help="Numbers that the farm never had are animals that left."),
    ] = False,
    to_mend: ToMend = None,
    by: By = None,
) -> None:
    """Add each row to the history of its animal; a row that is there is not doubled."""
    given, meaning = given_columns(column or [], PAST.repeated), _words(word or [])
    table = one_visit_a_row(read_table_file(file, sheet=sheet, encoding=encoding))
    read_with = partial(
        read_past,
        table,
        dates=dates,
        on=day(on),
        day_above=day_above,
        today=dt.date.today(),  # noqa: DTZ011
    )
    with opened() as (database, settings):
        with database.reading() as session:
            at = farm_asked(session, settings, farm)
            name = at.name
            columns_kept, words_kept = kept_for_past(session, name)
        words = words_kept | meaning
        heads = headings_in(words) | columns_kept
        columns = find_columns(table, given=given, kept=heads, kind=PAST)
        if preview:
            show_columns(table, columns, PAST.fields)
            with told_faults():
                read = read_with(columns, words=words, farm=name)
                with database.reading() as session:  # tried, and not kept
                    at = farm_asked(session, settings, farm)
                    change = take_in_past(session, at, read.lines, by="", source=file.name, new=new)
                _say_what_of(read, change)
            return
        with faults_of(file):
            read = read_with(columns, words=words, farm=name)
        for told in read.told:
            say(told)
        who = by or settings.trimmer
        with database.writing() as session:
            at = farm_asked(session, settings, farm)
            if given or meaning:
                keep_for_past(session, at, columns_kept | columns.kept, words, by=who)
            change = take_in_past(session, at, read.lines, by=who, source=file.name, new=new)
    report_refused(file, read.columns, _not_taken(read, change), to_mend)
    typer.echo(f"{change.added} added, {change.known} known already")
    if not day_above and any("has no day" in one.why for one in read.refused):
        say("Where the day stands once for the rows below it: --day-above")


@app.command("undo")
def undo(*, farm: Farm = None, by: By = None) -> None:
    """Take the newest list of a farm back, as one act; taking it in again brings it back."""
    with opened() as (database, settings):
        with database.reading() as session:
            at = farm_asked(session, settings, farm)
            listed = newest_past(session, at)
        if listed is None:
            raise NotFoundError(f"no list of {at.name} was taken in that could be taken back")
        done = acts.undo_act(database, settings, listed.act, by=by or settings.trimmer)
    typer.echo(f"Taken back: {listed.file}, {counted(len(done.entries), 'row')}")


def _words(said: list[str]) -> dict[str, str]:
    words = {}
    for one in said:
        word, sign, meaning = one.rpartition("=")
        if not sign or not word.strip() or not meaning.strip():
            raise typer.BadParameter(f"--word {one!r} is not like 'Mortellaro=digital dermatitis'")
        words[folded(word)] = meaning.strip()
    try:
        check_words(words)
    except Unfit as fault:
        raise typer.BadParameter(str(fault)) from fault
    return words


def _say_what_of(read: PastRead, change: PastChange) -> None:
    refused = _not_taken(read, change)
    taken = counted(change.added, "row")
    say(
        f"{taken} to take in, {change.known} known already, {counted(len(refused), 'line')} refused."
    )
    say_refused(refused)


def _not_taken(read: PastRead, change: PastChange) -> list[Refused]:
    """Rows that the reader refused, and those whose animal is not known, as they stand in the list."""
    undecided = [Refused(row=read.rows[at], why=(why,)) for at, why in change.undecided.items()]
    return sorted([*read.refused, *undecided], key=lambda one: one.row.line)
