"""What is due: list it, tick it off, put it off, or write a calendar file."""

import datetime as dt
from pathlib import Path
from typing import Annotated, Any

import typer
from rich.table import Table

from dictate.cli.common import (
    By,
    Farm,
    Json,
    add_plain,
    day,
    draw,
    farm_asked,
    opened,
    print_json,
    put_out,
    say,
)
from dictate.entry.wording import counted
from dictate.entry.wording import day as in_words
from dictate.record.follow_ups import calendar_of
from dictate.review.follow_ups import put_off, say_follow_up, tick_off, untick
from dictate.store.due_lines import due_lines, what_about
from dictate.store.record_queries import Scope, farm_rows, follow_up_rows

_MOST = 300
"""Lines of what is due that are listed at once."""

app = typer.Typer(help=__doc__, no_args_is_help=True)

Number = Annotated[int, typer.Argument(min=1, help="Number of the follow-up, as `list` shows it.")]


@app.command("list")
def show(
    *,
    farm: Farm = None,
    until: Annotated[str | None, typer.Option("--until", help="Last day that counts.")] = None,
    as_json: Json = False,
) -> None:
    """What is overdue and due at a farm, overdue on top."""
    today = dt.date.today()  # noqa: DTZ011 - the trimmer's own day
    with opened() as (database, settings), database.reading() as session:
        at = farm_asked(session, settings, farm)
        due, total = due_lines(session, farm_id=at.id, until=day(until), most=_MOST)
    # On one day as they were asked for.
    due.sort(key=lambda one: (one.on is None, one.on or today, one.id))
    rows: list[dict[str, Any]] = [
        {
            "id": one.id, "animal": one.animal, "kind": one.kind, "due_on": one.on, "about": one.about,
            "overdue_days": max(0, (today - one.on).days) if one.on else None, "said": one.said,
        }
        for one in due
    ]  # fmt: skip
    if as_json:
        print_json(rows)
    elif rows:
        table = Table("no.", "due", "animal", "what", "where", "overdue", "said")
        for row in rows:
            late = counted(row["overdue_days"], "day") if row["overdue_days"] else ""
            due_on = in_words(row["due_on"]) if row["due_on"] else "no date said"
            add_plain(
                table,
                str(row["id"]),
                due_on,
                row["animal"],
                row["kind"],
                row["about"],
                late,
                row["said"],
            )
        draw(table)
        if total > len(rows):
            say(f"{total - len(rows)} more are due later; name a day with --until.")
        from dictate.sheets.visit_contents import CAUTION

        say(CAUTION)
    else:
        say("Nothing is due.")


@app.command()
def done(
    number: Number,
    *,
    on: Annotated[str | None, typer.Option("--on", help="Day it was done; else today.")] = None,
    by: By = None,
) -> None:
    """Tick a follow-up off."""
    with opened() as (database, settings), database.writing() as session:
        today = dt.date.today()  # noqa: DTZ011 - the trimmer's own day
        done_on = day(on) or today
        ticked = tick_off(session, number, by=by or settings.trimmer, on=done_on, today=today)
        typer.echo(f"{say_follow_up(session, ticked)}: done on {in_words(done_on)}")


@app.command()
def snooze(
    number: Number,
    until: Annotated[str, typer.Argument(help="Day to be reminded, e.g. 2026-03-20.")],
    *,
    by: By = None,
) -> None:
    """Put a follow-up off; the day that was said stays with it."""
    moved, today = day(until) or dt.date.today(), dt.date.today()  # noqa: DTZ011
    with opened() as (database, settings), database.writing() as session:
        put = put_off(session, number, moved, by=by or settings.trimmer, today=today)
        typer.echo(f"{say_follow_up(session, put)}: put off to {in_words(moved)}")


@app.command()
def reopen(number: Number, *, by: By = None) -> None:
    """Open a follow-up again that was ticked off or put off."""
    with opened() as (database, settings), database.writing() as session:
        opened_again = untick(session, number, by=by or settings.trimmer)
        typer.echo(f"{say_follow_up(session, opened_again)}: open again")


@app.command()
def calendar(
    file: Annotated[
        Path, typer.Argument(help="Calendar file to write (.ics); `-` is the standard output.")
    ],
    *,
    farm: Farm = None,
) -> None:
    """Write the open follow-ups of a farm, or of all, as a calendar file."""
    with opened() as (database, settings), database.reading() as session:
        scope = Scope(farm_id=farm_asked(session, settings, farm).id) if farm else Scope()
        rows = follow_up_rows(session, scope, open_only=True)
        about = what_about(session, rows)
        names = {one.id: one.name for one in farm_rows(session)}
    put_out(file, calendar_of(rows, names, stamp=dt.datetime.now(dt.UTC), about=about))
