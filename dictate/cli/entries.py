"""Deciding on entries: confirm, amend, reject, undo, and bring back what was left aside."""

from typing import TYPE_CHECKING, Annotated

import typer

from dictate.cli.common import (
    By,
    Day,
    Farm,
    Json,
    Sure,
    Version,
    add_plain,
    draw,
    opened,
    print_json,
    say,
    visit_asked,
)

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rich.table import Table

    from dictate.review.waiting import LeftAside


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
    """Confirm entries: they enter the herd record."""
    if bool(entries) == all_unmarked:
        raise typer.BadParameter("name entries, or give --unmarked")
    from dictate.entry.wording import counted
    from dictate.review import acts
    from dictate.review.waiting import unmarked

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
                listed = unmarked(session, visit.id)
            for one in listed:
                say(f"{one.id}  {one.sentence}")
            if not yes and listed:
                typer.confirm(
                    f"Confirm {counted(len(listed), 'entry', 'entries')}?", abort=True, err=True
                )
            versions = {one.id: one.version for one in listed}
            acts.confirm_together(database, settings, visit.id, by=who, expected=versions)
            count = len(listed)
    typer.echo(f"{count} confirmed")


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
    """Change slots of an entry, or type what was said.

    Slots: animal=412, foot=LH, lesion='sole ulcer', finding.2.zone=4, action.1.claw=inner, follow-up.1.date=2026-03-16, remark=…; an empty value takes the slot or item out.
    """
    from dictate.review import acts

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
    """Reject entries with a reason, so that nothing of them enters the herd record; or let them wait again."""
    if back == bool(reason):
        raise typer.BadParameter("give --reason, or --back to let entries wait again")
    from dictate.review import acts

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


def undo(
    entry: Annotated[
        int | None, typer.Argument(help="Entry; none takes back your last act.")
    ] = None,
    *,
    by: By = None,
) -> None:
    """Take back the newest decision: on an entry, or your own last act."""
    from dictate.review import acts
    from dictate.store.states import EntryState

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
        if not done.back_at or one.opened or one.state != EntryState.WAITING:
            typer.echo(f"{one.id} is {one.state} again")
    if done.told:
        say(done.told)


def left_aside(
    *,
    farm: Farm = None,
    date: Day = None,
    bring_back: Annotated[
        list[int] | None,
        typer.Option("--bring-back", help="Number of an entry that is a note after all."),
    ] = None,
    as_json: Json = False,
    by: By = None,
) -> None:
    """List what was left aside as talk in all-day recordings, or bring it back into the queue."""
    from dictate.review import acts
    from dictate.review.waiting import left_aside as found

    with opened() as (database, settings):
        if bring_back:
            with database.writing() as session:
                for entry in bring_back:
                    acts.bring_back(session, settings, entry, by=by or settings.trimmer)
            typer.echo(f"{len(bring_back)} waiting again")
            return
        with database.reading() as session:
            visit = visit_asked(session, settings, farm, date) if farm or date else None
            rows = found(session, visit.id if visit else None)
    if as_json:
        print_json(rows)
    elif rows:
        draw(_left_aside_table(rows))
    else:
        typer.echo("Nothing was left aside.", err=True)


def _left_aside_table(rows: "Iterable[LeftAside]") -> "Table":
    """What was left aside as talk: number, clip, length, and the words that were heard in it."""
    from rich.table import Column, Table

    table = Table("entry", Column("clip", overflow="fold"), "seconds", "heard", show_lines=True)
    for row in rows:
        add_plain(table, str(row.id), row.clip, f"{row.seconds:.0f}", row.heard)
    return table
