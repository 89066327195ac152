"""Farms and their animals: list farms, join two animals that are one, note that one left."""

from typing import Annotated

import typer

from dictate.cli.common import By, Farm, Json, farm_asked, opened, print_json, say
from dictate.store.animal_history import find_animal
from dictate.store.animals import animal_to_part, merge_animals, set_status, undo_merge
from dictate.store.record_queries import farm_rows
from dictate.store.states import AnimalStatus

app = typer.Typer(help=__doc__, no_args_is_help=True)

Number = Annotated[str, typer.Argument(help="Management number, ear tag or electronic number.")]


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


@app.command()
def merge(
    other: Number,
    into: Annotated[str, typer.Argument(help="The animal it turned out to be.")],
    *,
    farm: Farm = None,
    by: By = None,
) -> None:
    """Join two animals that are one; their histories show as one, and this can be undone."""
    with opened() as (database, settings), database.writing() as session:
        name = farm_asked(session, settings, farm).name
        one, two = (find_animal(session, number, farm=name) for number in (other, into))
        merge_animals(session, one.id or 0, two.id or 0, by=by or settings.trimmer)
    typer.echo(f"{other} is {into} from now on; `dictate farm part {other}` undoes it")


@app.command()
def part(number: Number, *, farm: Farm = None, by: By = None) -> None:
    """Undo a merge."""
    with opened() as (database, settings), database.writing() as session:
        at = farm_asked(session, settings, farm)
        undo_merge(session, animal_to_part(session, at, number), by=by or settings.trimmer)
    typer.echo(f"{number} is an animal of its own again")


@app.command()
def status(
    number: Number,
    now: Annotated[AnimalStatus, typer.Argument(help="present, sold, dead or 'off the roster'.")],
    *,
    farm: Farm = None,
    by: By = None,
) -> None:
    """Note that an animal was sold, died, left the roster, or is back; its history stays."""
    with opened() as (database, settings), database.writing() as session:
        name = farm_asked(session, settings, farm).name
        animal = find_animal(session, number, farm=name)
        set_status(session, animal.id or 0, now, by=by or settings.trimmer)
    typer.echo(f"{number}: {now}")
