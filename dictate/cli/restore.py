"""Put a backup back, or only check it; what was there before is kept."""

import datetime as dt
from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import Json, print_json
from dictate.entry.wording import counted
from dictate.safekeeping import check_home_backup, put_home_back
from dictate.settings import load_settings

app = typer.Typer()


@app.command(help=__doc__)
def restore(
    file: Annotated[Path, typer.Argument(help="A record-….db file of a backup folder.")],
    *,
    check: Annotated[
        bool, typer.Option("--check", help="Only prove it whole; change nothing.")
    ] = False,
    as_json: Json = False,
) -> None:
    settings = load_settings()
    found = (
        check_home_backup(settings, file)
        if check
        else put_home_back(settings, file, now=dt.datetime.now(dt.UTC))
    )
    checked, kept, gone = found.checked, found.kept, found.sounds_missing
    if as_json:
        print_json(
            {"file": file, "rows": dict(checked.counts), "kept": kept, "sounds_missing": list(gone)}
        )
    else:
        rows = ", ".join(f"{number} {name}" for name, number in checked.counts.items())
        typer.echo(f"{file}: {'whole' if check else 'put back'}; {rows}")
        if kept:
            typer.echo(f"What was there before is kept as {kept}")
        if gone:
            typer.echo(
                f"Without whole sound now: {counted(len(gone), 'clip')}: {', '.join(gone[:5])}",
                err=True,
            )
    raise typer.Exit(1 if gone else 0)
