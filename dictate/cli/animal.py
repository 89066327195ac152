"""Animals: show a history; join two that are one; note that one left or is back."""

from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from dictate.cli.common import By, Farm, Json, farm_asked, opened, print_json
from dictate.store.animal_history import animal_history, find_animal
from dictate.store.animals import animal_to_part, merge_animals, set_status, undo_merge
from dictate.store.states import AnimalStatus


class _ShowsByItself(TyperGroup):
    """`dictate animal 412` is `dictate animal show 412`."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        if args and args[0] not in (*self.commands, "--help"):
            args.insert(0, "show")
        return super().parse_args(ctx, args)


app = typer.Typer(help=__doc__, no_args_is_help=True, cls=_ShowsByItself)

Number = Annotated[str, typer.Argument(help="Management number, ear tag or electronic number.")]


@app.command()
def show(number: Number, *, farm: Farm = None, as_json: Json = False) -> None:
    """Show the confirmed history of an animal, newest first; `show` may be left out."""
    with opened() as (database, settings), database.reading() as session:
        history = animal_history(session, number, farm=farm or settings.farm)
    if as_json:
        print_json(history)
        return
    for visit in history.visits:
        typer.echo(f"{visit.date}  entry {visit.entry_id}  {visit.said}")


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
        merge_animals(session, one.id, two.id, by=by or settings.trimmer)
    typer.echo(f"{other} is {into} from now on; `dictate animal part {other}` undoes it")


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
        set_status(session, animal.id, now, by=by or settings.trimmer)
    typer.echo(f"{number}: {now}")
