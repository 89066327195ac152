"""Write the sheet of a visit for the farm."""

from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import Day, Farm, opened, visit_asked
from dictate.sheets.visit_sheet import write_sheet

app = typer.Typer()


@app.command(help=__doc__)
def visit_sheet(
    *,
    farm: Farm = None,
    date: Day = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="File to write; else in the home folder.")
    ] = None,
) -> None:
    with opened() as (database, settings), database.reading() as session:
        path = write_sheet(session, settings, visit_asked(session, settings, farm, date), out=out)
    typer.echo(path)
