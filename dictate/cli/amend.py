"""Change slots of an entry, or type what was said."""

from typing import Annotated

import typer

from dictate.cli.common import By, Sure, Version, opened, say

app = typer.Typer()


@app.command(
    help=__doc__,
    epilog="Slots: animal=412, foot=LH, lesion='sole ulcer', finding.2.zone=4, action.1.claw=inner, "
    "follow-up.1.date=2026-03-16, remark=…; an empty value takes the slot or item out.",
)
def amend(
    entry: Annotated[int, typer.Argument(help="Number from `dictate queue`.")],
    changes: Annotated[list[str] | None, typer.Argument(help="slot=value …")] = None,
    *,
    typed: Annotated[
        str | None,
        typer.Option("--typed", help="What was said, in words; the entry is read anew from it."),
    ] = None,
    then_confirm: Annotated[bool, typer.Option("--confirm", help="Confirm it as well.")] = False,
    sure: Sure = False,
    version: Version = None,
    by: By = None,
) -> None:
    from dictate.review import acts  # noqa: PLC0415 (the grammar is slow to load)

    with opened() as (database, settings):
        done = acts.fix(
            database,
            settings,
            entry,
            changes or [],
            typed=typed,
            then_confirm=then_confirm,
            sure=sure,
            by=by or settings.trimmer,
            version=version,
        )
    typer.echo(f"{done.entry.id}  {done.entry.sentence}")
    if done.told:
        say(done.told)
