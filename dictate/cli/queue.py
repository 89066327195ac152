"""List the entries that wait for a person, riskiest first, or go through them."""

import sys
from typing import Annotated

import typer

from dictate.cli.common import By, Day, Farm, Json, opened, print_json, stdout, visit_asked
from dictate.cli.tables import queue_table
from dictate.review.waiting import waiting

app = typer.Typer()


@app.command(help=__doc__)
def queue(
    *,
    farm: Farm = None,
    date: Day = None,
    decide: Annotated[
        bool, typer.Option("--decide", help="One card at a time, with a key for everything.")
    ] = False,
    as_json: Json = False,
    by: By = None,
) -> None:
    with opened() as (database, settings):
        with database.reading() as session:
            visit = visit_asked(session, settings, farm, date) if farm or date else None
            visit_id = visit.id if visit else None
            entries = waiting(session, visit_id)
        if decide:
            from dictate.cli.deciding import Evening  # noqa: PLC0415 (the grammar is slow to load)

            evening = Evening(
                database, settings, by or settings.trimmer, visit_id, _key, _line, stdout.print
            )
            evening.run()
        elif as_json:
            print_json(entries)
        elif entries:
            stdout.print(queue_table(entries))
        else:
            typer.echo("Nothing waits.", err=True)


def _key(prompt: str) -> str:
    """One key; from a file or a pipe, a line."""
    typer.echo(prompt, nl=False)
    if not sys.stdin.isatty():
        return _read_line(at_end="q")
    pressed = typer.getchar()
    typer.echo("" if pressed in "\r\n" else pressed)
    return "" if pressed in "\r\n" else pressed


def _line(prompt: str, there: str) -> str:
    """A line, to be edited where the terminal can do so."""
    if not sys.stdin.isatty():
        typer.echo(prompt, nl=False)
        return _read_line(at_end="")
    try:
        import readline  # noqa: PLC0415 (not on every system)
    except ImportError:
        return input(f"{prompt}[{there}] " if there else prompt) or there
    readline.set_startup_hook(lambda: readline.insert_text(there))
    try:
        return input(prompt)
    finally:
        readline.set_startup_hook(None)


def _read_line(*, at_end: str) -> str:
    line = sys.stdin.readline()
    typer.echo(line.rstrip("\n"))
    return line.rstrip("\n") if line else at_end
