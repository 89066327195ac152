"""Take back the newest decision: on an entry, or your own last act."""

from typing import Annotated

import typer

from dictate.cli.common import By, opened, say

app = typer.Typer()


@app.command(help=__doc__)
def undo(
    entry: Annotated[
        int | None, typer.Argument(help="Entry; none takes back your last act.")
    ] = None,
    *,
    by: By = None,
) -> None:
    from dictate.review import acts  # noqa: PLC0415 (the grammar is slow to load)

    with opened() as (database, settings):
        who = by or settings.trimmer
        if entry is not None:
            done: acts.Done | None = acts.undo(database, settings, entry, by=who)
        else:
            done = acts.undo_last(database, settings, by=who)
    if done is None:
        say("the notes, which were not heard yet, are back where they were")
        return
    for one in done.entries:
        typer.echo(f"{one.id} is {one.state} again")
    if done.told:
        say(done.told)
