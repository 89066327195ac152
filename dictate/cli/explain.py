"""Read typed words as the grammar reads heard ones; touches no database."""

from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import Day, Json, day, herd_of, print_json

app = typer.Typer()


@app.command(help=__doc__)
def explain(
    text: Annotated[list[str], typer.Argument(help="The words of one note.")],
    *,
    roster: Annotated[Path | None, typer.Option(help="Roster of the herd, a CSV file.")] = None,
    date: Day = None,
    as_json: Json = False,
) -> None:
    from grammar import as_json as plain  # noqa: PLC0415 (slow to load)
    from grammar import as_text, parse, split_text  # noqa: PLC0415

    herd = herd_of(roster) if roster else None
    reading = parse(split_text(" ".join(text)), roster=herd, on=day(date))
    if as_json:
        print_json(plain(reading))
    else:
        typer.echo(as_text(reading))
