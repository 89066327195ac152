"""Reject entries with a reason; nothing of them enters the herd record."""

from typing import Annotated

import typer

from dictate.cli.common import By, Version, opened, say

app = typer.Typer()


@app.command(help=__doc__)
def reject(
    entries: Annotated[list[int], typer.Argument(help="Numbers from `dictate queue`.")],
    *,
    reason: Annotated[str, typer.Option("--reason", help="Why, in words.")],
    version: Version = None,
    by: By = None,
) -> None:
    from dictate.review import acts  # noqa: PLC0415 (the grammar is slow to load)

    with opened() as (database, settings), database.writing() as session:
        who = by or settings.trimmer
        done = [
            acts.discard(session, settings, entry, reason, by=who, version=version)
            for entry in entries
        ]
    typer.echo(f"{len(done)} rejected")
    for one in done:
        if one.told:
            say(one.told)
