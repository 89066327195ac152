"""List what was left aside as talk in all-day recordings, or bring it back into the queue."""

from typing import Annotated

import typer

from dictate.cli.common import By, Day, Farm, Json, opened, print_json, stdout, visit_asked
from dictate.review.left_aside import left_aside as found

app = typer.Typer()


@app.command(help=__doc__)
def left_aside(
    *,
    farm: Farm = None,
    date: Day = None,
    bring_back: Annotated[
        list[int] | None,
        typer.Option("--bring-back", help="Number of an entry that is a note after all."),
    ] = None,
    as_json: Json = False,
    by: By = None,
) -> None:
    with opened() as (database, settings):
        if bring_back:
            from dictate.review import acts  # noqa: PLC0415 (the grammar is slow to load)

            with database.writing() as session:
                for entry in bring_back:
                    acts.bring_back(session, settings, entry, by=by or settings.trimmer)
            typer.echo(f"{len(bring_back)} waiting again")
            return
        with database.reading() as session:
            visit = visit_asked(session, settings, farm, date) if farm or date else None
            rows = found(session, visit.id if visit else None)
    if as_json:
        print_json(rows)
    elif rows:
        from dictate.cli.tables import left_aside_table  # noqa: PLC0415

        stdout.print(left_aside_table(rows))
    else:
        typer.echo("Nothing was left aside.", err=True)
