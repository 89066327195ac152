"""Write the confirmed record as CSV, Parquet or ICAR Animal Data Exchange files."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import farm_asked, opened
from dictate.exchange.ade_files import export_ade
from dictate.exchange.record_files import export_record

app = typer.Typer()


class Form(StrEnum):
    CSV = "csv"
    PARQUET = "parquet"
    ADE = "ade"
    YEAR = "year"


@app.command(help=__doc__)
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
    with opened() as (database, settings), database.reading() as session:
        if form is Form.YEAR:
            from dictate.cli.farm_year import write_farm_year  # noqa: PLC0415 (plots are slow to load)

            at = farm_asked(session, settings, farm)
            counts = write_farm_year(session, settings, at, folder, year=year)
        elif form is Form.ADE:
            at = farm_asked(session, settings, farm)
            counts = export_ade(session, folder, at, with_claws=with_claws)
        else:
            counts = export_record(session, folder, form=form)
    for name, count in counts.items():
        typer.echo(f"{name}\t{count}")
