"""Read typed words as the grammar reads heard ones; touches no database."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dictate.cli.common import Day, Json, day, print_json

if TYPE_CHECKING:
    from grammar import Roster

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

    herd = _read(roster) if roster else None
    reading = parse(split_text(" ".join(text)), roster=herd, on=day(date))
    if as_json:
        print_json(plain(reading))
    else:
        typer.echo(as_text(reading))


def _read(path: Path) -> "Roster":
    from dictate.store.roster import read_roster, roster_from  # noqa: PLC0415 (slow to load)

    return roster_from(read_roster(path))
