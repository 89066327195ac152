"""Read an export back in, into an empty home folder; every field is as it was."""

from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import opened
from dictate.exchange.record_files import import_record

app = typer.Typer()


@app.command("import-record", help=__doc__)
def read(
    folder: Annotated[
        Path, typer.Argument(help="Folder that `dictate export` wrote (CSV or Parquet).")
    ],
) -> None:
    with opened() as (database, _), database.writing() as session:
        counts = import_record(session, folder)
    for name, count in counts.items():
        typer.echo(f"{name}\t{count}")
