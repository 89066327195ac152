"""Reject entries with a reason; nothing of them enters the herd record."""

from typing import Annotated

import typer

from dictate.cli.common import By, Version, opened
from dictate.review.deciding import reject as reject_one

app = typer.Typer()


@app.command(help=__doc__)
def reject(
    entries: Annotated[list[int], typer.Argument(help="Numbers from `dictate queue`.")],
    *,
    reason: Annotated[str, typer.Option("--reason", help="Why, in words.")],
    version: Version = None,
    by: By = None,
) -> None:
    with opened() as (database, settings), database.writing() as session:
        for entry in entries:
            reject_one(session, entry, reason, by=by or settings.trimmer, version=version)
    typer.echo(f"{len(entries)} rejected")
