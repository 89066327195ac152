"""Confirm entries: they enter the herd record."""

from typing import Annotated

import typer

from dictate.cli.common import By, Day, Farm, Version, opened, say, visit_asked
from dictate.entry.values import EntryValues
from dictate.notes.sentences import say_entry
from dictate.review.deciding import confirm as confirm_one
from dictate.review.deciding import confirm_unmarked, unmarked

app = typer.Typer()


@app.command(help=__doc__)
def confirm(
    entries: Annotated[
        list[int] | None, typer.Argument(help="Numbers from `dictate queue`.")
    ] = None,
    *,
    all_unmarked: Annotated[
        bool, typer.Option("--unmarked", help="All entries of a visit that no check marked.")
    ] = False,
    yes: Annotated[bool, typer.Option("--yes", help="Do not ask before --unmarked.")] = False,
    farm: Farm = None,
    date: Day = None,
    version: Version = None,
    by: By = None,
) -> None:
    if bool(entries) == all_unmarked:
        raise typer.BadParameter("name entries, or give --unmarked")
    with opened() as (database, settings):
        if entries:
            with database.writing() as session:
                done = [
                    confirm_one(session, entry, by=by or settings.trimmer, version=version)
                    for entry in entries
                ]
        else:
            with database.reading() as session:
                visit = visit_asked(session, settings, farm, date)
                listed = {entry.id or 0: entry for entry in unmarked(session, visit.id or 0)}
            for at, entry in listed.items():
                say(f"{at}  {say_entry(EntryValues.model_validate(entry.content))}")
            if not yes and listed:
                typer.confirm(f"Confirm these {len(listed)} entries?", abort=True, err=True)
            with database.writing() as session:
                versions = {at: entry.version for at, entry in listed.items()}
                done = confirm_unmarked(
                    session, visit.id or 0, by=by or settings.trimmer, expected=versions
                )
    typer.echo(f"{len(done)} confirmed")
