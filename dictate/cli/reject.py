"""Reject entries with a reason, so that nothing of them enters the herd record; or let them wait again."""

from typing import Annotated

import typer

from dictate.cli.common import By, Version, opened, say

app = typer.Typer()


@app.command(help=__doc__)
def reject(
    entries: Annotated[list[int], typer.Argument(help="Numbers from `dictate queue`.")],
    *,
    reason: Annotated[str, typer.Option("--reason", help="Why, in words.")] = "",
    back: Annotated[
        bool, typer.Option("--back", help="Let rejected entries wait again instead.")
    ] = False,
    version: Version = None,
    by: By = None,
) -> None:
    if back == bool(reason):
        raise typer.BadParameter("give --reason, or --back to let entries wait again")
    from dictate.review import acts  # noqa: PLC0415 (the grammar is slow to load)

    with opened() as (database, settings), database.writing() as session:
        who = by or settings.trimmer
        done = [
            acts.restore(session, settings, entry, by=who, version=version)
            if back
            else acts.discard(session, settings, entry, reason, by=who, version=version)
            for entry in entries
        ]
    typer.echo(f"{len(done)} {'waiting again' if back else 'rejected'}")
    for one in done:
        if one.told:
            say(one.told)
