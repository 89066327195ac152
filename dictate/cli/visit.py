"""Visits: list them, or move one, or a part of it, to the right farm or day."""

import datetime as dt
from typing import Annotated

import typer

from dictate.cli.common import By, Day, Farm, Json, day, opened, print_json, say, visit_asked

app = typer.Typer(help=__doc__, no_args_is_help=True)

Clock = Annotated[str | None, typer.Option(help="Time of day, e.g. 11:30.")]


@app.command("list")
def show(*, as_json: Json = False) -> None:
    """List the visits, newest first."""
    from dictate.store.overview import visit_lines  # noqa: PLC0415

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


@app.command()
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
    from dictate.review import acts  # noqa: PLC0415 (the grammar is slow to load)
    from dictate.store.queries import clips_between  # noqa: PLC0415

    if to_farm is None and to_date is None:
        raise typer.BadParameter("say where the notes belong: --to-farm, --to-date or both")
    with opened() as (database, settings):
        with database.reading() as session:
            visit = visit_asked(session, settings, farm, date)
            visit_id, clips = visit.id, None
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
