"""Take back the newest decision: on an entry, or your own last act."""

from typing import Annotated

import typer

from dictate.cli.common import By, opened
from dictate.errors import NotFoundError
from dictate.review.undoing import last_act, undo_act
from dictate.review.undoing import undo as undo_one

app = typer.Typer()


@app.command(help=__doc__)
def undo(
    entry: Annotated[
        int | None, typer.Argument(help="Entry; none takes back your last act.")
    ] = None,
    *,
    by: By = None,
) -> None:
    with opened() as (database, settings), database.writing() as session:
        who = by or settings.trimmer
        if entry is not None:
            done = [undo_one(session, entry, by=who)]
        elif act := last_act(session, by=who):
            done = undo_act(session, act, by=who)
        else:
            raise NotFoundError(f"{who} has decided nothing that could be undone")
    for one in done:
        typer.echo(f"{one.id} is {one.state} again")
