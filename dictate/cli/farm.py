"""The farms there are."""

import typer

from dictate.cli import animal
from dictate.cli.common import Json, opened, print_json, say
from dictate.store.record_queries import farm_rows

app = typer.Typer(help=__doc__, no_args_is_help=True)


@app.command("list")
def show(*, as_json: Json = False) -> None:
    """List the farms."""
    with opened() as (database, _), database.reading() as session:
        farms = farm_rows(session)
    if as_json:
        print_json(farms)
        return
    for farm in farms:
        typer.echo(farm.name)
    if not farms:
        say("No farm yet: take notes or a roster in.")


# They belong to `dictate animal`, and are found here by whoever learnt them here.
for act in (animal.merge, animal.part, animal.status):
    app.command(hidden=True)(act)
