"""Farms, visits and animals: list them, and put right what stands under a wrong one."""

import datetime as dt
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from dictate.cli.common import (
    By,
    Day,
    Farm,
    Json,
    day,
    farm_asked,
    opened,
    print_json,
    say,
    visit_asked,
)
from dictate.store.animal_history import animal_history, find_animal
from dictate.store.animals import animal_to_part, merge_animals, set_status, undo_merge
from dictate.store.past_entries import FROM
from dictate.store.record_queries import farm_rows
from dictate.store.states import AnimalStatus


class _ShowsByItself(TyperGroup):
    """`dictate animal 412` is `dictate animal show 412`."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        if args and args[0] not in (*self.commands, "--help"):
            args.insert(0, "show")
        return super().parse_args(ctx, args)


animal = typer.Typer(
    help="Animals: show a history; join two that are one; note that one left or is back.",
    no_args_is_help=True,
    cls=_ShowsByItself,
)


Number = Annotated[str, typer.Argument(help="Management number, ear tag or electronic number.")]


@animal.command("show")
def show_animal(number: Number, *, farm: Farm = None, as_json: Json = False) -> None:
    """Show the confirmed history of an animal, newest first; `show` may be left out."""
    with opened() as (database, settings), database.reading() as session:
        history = animal_history(session, number, farm=farm or settings.farm)
    if as_json:
        print_json(history)
        return
    if not history.visits:
        say(f"{history.number} at {history.farm} is {history.status}; nothing is confirmed of her")
    for one in history.visits:
        source = f"  ({one.source})" if one.source.startswith(FROM) else ""
        typer.echo(f"{one.date}  entry {one.entry_id}  {one.said}{source}")


@animal.command()
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


@animal.command()
def part(number: Number, *, farm: Farm = None, by: By = None) -> None:
    """Undo a merge."""
    with opened() as (database, settings), database.writing() as session:
        at = farm_asked(session, settings, farm)
        undo_merge(session, animal_to_part(session, at, number), by=by or settings.trimmer)
    typer.echo(f"{number} is an animal of its own again")


@animal.command()
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
        one = find_animal(session, number, farm=name)
        set_status(session, one.id, now, by=by or settings.trimmer)
    typer.echo(f"{number}: {now}")


farm = typer.Typer(help="Farms: list them, or give one another name.", no_args_is_help=True)


@farm.command("list")
def list_farms(*, as_json: Json = False) -> None:
    """List the farms."""
    with opened() as (database, _), database.reading() as session:
        farms = farm_rows(session)
    if as_json:
        print_json(farms)
        return
    for one in farms:
        typer.echo(one.name)
    if not farms:
        say("No farm yet: take notes or a roster in.")


@farm.command()
def rename(
    name: Annotated[str, typer.Argument(help="The farm as it is called now.")],
    to: Annotated[str, typer.Argument(help="Its new name.")],
    *,
    by: By = None,
) -> None:
    """Give a farm another name; its visits, animals and history stay with it."""
    from dictate.store.farms import farm_by_name, rename_farm
    from dictate.web.settings_file import follow_farm

    with opened() as (database, settings):
        with database.writing() as session:
            at = farm_by_name(session, name)
            was = rename_farm(session, at, to, by=by or settings.trimmer)
            now = at.name
        follow_farm(settings, was, now)
    typer.echo(f"{was} is called {now} from now on")


visit = typer.Typer(
    help="Visits: list them, or move one, or a part of it, to the right farm or day.",
    no_args_is_help=True,
)


Clock = Annotated[str | None, typer.Option(help="Time of day, e.g. 11:30.")]


@visit.command("list")
def list_visits(*, as_json: Json = False) -> None:
    """List the visits, newest first."""
    from dictate.store.overview import visit_lines

    with opened() as (database, _), database.reading() as session:
        lines = visit_lines(session, most=10_000)
    if as_json:
        print_json(lines)
        return
    for line in lines:
        counts = ", ".join(f"{number} {state}" for state, number in sorted(line.counts.items()))
        typer.echo(f"{line.date}  {line.farm}  {counts}")
    if not lines:
        say("No visit yet: take notes in.")


@visit.command()
def move(
    *,
    farm: Farm = None,
    date: Day = None,
    to_farm: Annotated[str | None, typer.Option("--to-farm", help="The right farm.")] = None,
    to_date: Annotated[str | None, typer.Option("--to-date", help="The right day.")] = None,
    since: Clock = None,
    until: Clock = None,
    by: By = None,
) -> None:
    """Move the notes of a visit that were taken in under a wrong farm or day.

    With --since or --until only those that were spoken in that time. `dictate undo` takes it back.
    """
    from dictate.review import acts
    from dictate.store.clips import clips_between

    if to_farm is None and to_date is None:
        raise typer.BadParameter("say where the notes belong: --to-farm, --to-date or both")
    with opened() as (database, settings):
        with database.reading() as session:
            visit_id, clips = visit_asked(session, settings, farm, date).id, None
            if since or until:
                clips = clips_between(session, visit_id, _clock(since), _clock(until))
        done = acts.move(
            database, settings, visit_id,
            by=by or settings.trimmer, farm=to_farm, date=day(to_date), clips=clips,
        )  # fmt: skip
    typer.echo(done.told)


def _clock(text: str | None) -> dt.time | None:
    if text is None:
        return None
    try:
        return dt.time.fromisoformat(text)
    except ValueError:
        raise typer.BadParameter(f"{text!r} is not a time of day such as 11:30") from None
