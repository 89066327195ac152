"""Change slots of an entry, or type what was said."""

from typing import Annotated

import typer

from dictate.cli.common import By, Version, opened
from dictate.entry.values import EntryValues
from dictate.notes.sentences import say_entry

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
    version: Version = None,
    by: By = None,
) -> None:
    from dictate.notes.reading_notes import read_visit  # noqa: PLC0415 (the grammar is slow to load)
    from dictate.review.fixing import fix  # noqa: PLC0415

    with opened() as (database, settings):
        with database.writing() as session:
            done = fix(
                session,
                settings,
                entry,
                changes or [],
                typed=typed,
                then_confirm=then_confirm,
                by=by or settings.trimmer,
                version=version,
            )
        read_visit(database, settings, done.visit_id)
    typer.echo(f"{done.id}  {say_entry(EntryValues.model_validate(done.content))}")
