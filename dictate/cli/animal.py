"""Show the confirmed history of an animal, newest first."""

from typing import Annotated

import typer

from dictate.cli.common import Farm, Json, opened, print_json
from dictate.store.animal_history import animal_history

app = typer.Typer()


@app.command(help=__doc__)
def animal(
    number: Annotated[str, typer.Argument(help="Management number, ear tag or electronic number.")],
    *,
    farm: Farm = None,
    as_json: Json = False,
) -> None:
    with opened() as (database, settings), database.reading() as session:
        history = animal_history(session, number, farm=farm or settings.farm)
    if as_json:
        print_json(history)
        return
    for visit in history.visits:
        typer.echo(f"{visit.date}  entry {visit.entry_id}  {visit.said}")
