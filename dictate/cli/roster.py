"""Take a farm's roster in from a CSV file, or list it."""

from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import By, Farm, Json, opened, print_json, say
from dictate.record.identify import herd_warnings
from dictate.store.queries import farm_by_name
from dictate.store.record_queries import animal_rows
from dictate.store.roster import read_roster, take_in_roster

app = typer.Typer(help=__doc__, no_args_is_help=True)


@app.command("import")
def take_in(
    file: Annotated[Path, typer.Argument(help="CSV with a heading line, or one number a line.")],
    *,
    farm: Farm = None,
    complete: Annotated[
        bool, typer.Option("--complete", help="It is the whole herd: others leave the roster.")
    ] = False,
    by: By = None,
) -> None:
    """Take a roster in; animals keep their history when their number changes."""
    lines = read_roster(file)
    for warning in herd_warnings((line.number, line.eid, line.ear_tag) for line in lines):
        say(warning)
    with opened() as (database, settings), database.writing() as session:
        name = farm or settings.farm
        if name is None:
            raise typer.BadParameter("name the farm with --farm, or set `farm` in settings.toml")
        change = take_in_roster(
            session,
            farm_by_name(session, name, make=True),
            lines,
            by=by or settings.trimmer,
            complete=complete,
        )
    typer.echo(", ".join(f"{count} {what}" for what, count in change.model_dump().items()))


@app.command("list")
def show(*, farm: Farm = None, as_json: Json = False) -> None:
    """List the animals of a farm."""
    with opened() as (database, settings), database.reading() as session:
        name = farm or settings.farm
        animals = animal_rows(session, farm_id=farm_by_name(session, name).id if name else None)
    if as_json:
        print_json(animals)
        return
    for animal in animals:
        told = (animal.number, animal.ear_tag, animal.eid, animal.name, animal.status)
        typer.echo("\t".join(part or "" for part in told))
    if not animals:
        say("No animals yet: dictate roster import FILE")
