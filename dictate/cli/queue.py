"""List the entries that wait for a person, riskiest first."""

import typer

from dictate.cli.common import Day, Farm, Json, opened, print_json, stdout, visit_asked
from dictate.cli.tables import queue_table
from dictate.review.waiting import waiting

app = typer.Typer()


@app.command(help=__doc__)
def queue(*, farm: Farm = None, date: Day = None, as_json: Json = False) -> None:
    with opened() as (database, settings), database.reading() as session:
        visit = visit_asked(session, settings, farm, date) if farm or date else None
        entries = waiting(session, visit.id if visit else None)
    if as_json:
        print_json(entries)
    elif entries:
        stdout.print(queue_table(entries))
    else:
        typer.echo("Nothing waits.", err=True)
