"""What a visit comes to on paper: its sheet and its bill."""

from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from dictate.cli.common import Day, Farm, Json, draw, opened, print_json, say, visit_asked
from dictate.cli.tables import add_plain


def visit_sheet(
    *,
    farm: Farm = None,
    date: Day = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="File to write; else in the home folder.")
    ] = None,
) -> None:
    """Write the sheet of a visit for the farm."""
    from dictate.sheets.visit_sheet import write_sheet

    with opened() as (database, settings), database.reading() as session:
        path = write_sheet(session, settings, visit_asked(session, settings, farm, date), out=out)
    typer.echo(path)


def tally(
    *,
    farm: Farm = None,
    date: Day = None,
    out: Annotated[Path | None, typer.Option("--out", help="CSV file to write.")] = None,
    as_json: Json = False,
) -> None:
    """Count what was done at a visit, with the trimmer's own prices, for the bill."""
    from dictate.exchange.tally_csv import HEADINGS, tally_csv, tally_lines
    from dictate.record import tally as counting
    from dictate.store.record_queries import Scope, action_rows
    from dictate.written import write_whole

    with opened() as (database, settings), database.reading() as session:
        visit = visit_asked(session, settings, farm, date)
        counted = counting.tally(
            action_rows(session, Scope(visit_id=visit.id)),
            counting.prices_of(settings),
            currency=settings.currency,
        )
    if as_json:
        print_json(counted)
    elif out is not None:
        typer.echo(write_whole(out, tally_csv(counted)))
    else:
        table = Table(*HEADINGS[:-1])
        for line in tally_lines(counted):
            add_plain(table, *line[:-1])
        draw(table)
        typer.echo(f"total {counted.currency} {counted.total}".replace("  ", " "))
    for kind in counted.without_price:
        say(f"{kind}: no price in settings.toml; it is in no sum")
    for kind in counted.without_foot:
        say(f"{kind}: priced by the foot, and some named no foot; those are in no sum")
