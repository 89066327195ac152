"""Confirm entries: they enter the herd record."""

from typing import Annotated

import typer

from dictate.cli.common import By, Day, Farm, Sure, Version, opened, say, visit_asked

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
    sure: Sure = False,
    version: Version = None,
    by: By = None,
) -> None:
    if bool(entries) == all_unmarked:
        raise typer.BadParameter("name entries, or give --unmarked")
    from dictate.review import acts  # noqa: PLC0415 (the grammar is slow to load)

    with opened() as (database, settings):
        who = by or settings.trimmer
        if entries:
            with database.writing() as session:
                for entry in entries:
                    acts.confirm(session, settings, entry, by=who, version=version, sure=sure)
            count = len(entries)
        else:
            with database.reading() as session:
                visit = visit_asked(session, settings, farm, date)
                listed = acts.unmarked(session, visit.id)
            for one in listed:
                say(f"{one.id}  {one.sentence}")
            if not yes and listed:
                typer.confirm(f"Confirm these {len(listed)} entries?", abort=True, err=True)
            versions = {one.id: one.version for one in listed}
            acts.confirm_together(database, settings, visit.id, by=who, expected=versions)
            count = len(listed)
    typer.echo(f"{count} confirmed")
