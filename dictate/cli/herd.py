"""Sheets, pictures and counts: of a visit, for the bill, of a herd."""

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from rich.table import Table

from dictate.cli.common import (
    Day,
    Farm,
    Json,
    add_plain,
    day,
    draw,
    farm_asked,
    opened,
    print_json,
    put_out,
    say,
    visit_asked,
)
from dictate.entry.wording import day as in_words
from dictate.entry.wording import say_place
from dictate.record.rows import YEAR

if TYPE_CHECKING:
    from dictate.record.cases import CaseRow

herd = typer.Typer(
    help="Ask about a herd: its picture, open and repeated cases, what went up since the last visit.",
    no_args_is_help=True,
)

Since = Annotated[str | None, typer.Option("--since", help="First day that counts.")]
Until = Annotated[str | None, typer.Option("--until", help="Last day that counts.")]
Chronic = Annotated[
    int,
    typer.Option("--chronic", min=2, max=1000, help="Visits from which a case counts as chronic."),
]


def visit_sheet(
    *,
    farm: Farm = None,
    date: Day = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="File to write; else in the home folder.")
    ] = None,
) -> None:
    """Write the sheet of a visit for the farm."""
    from dictate.sheets.visit_sheet import write_sheet

    with opened() as (database, settings), database.reading() as session:
        path = write_sheet(session, settings, visit_asked(session, settings, farm, date), out=out)
    typer.echo(path)


def tally(
    *,
    farm: Farm = None,
    date: Day = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="CSV file to write; `-` is the standard output.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Count what was done at a visit, with the trimmer's own prices, for the bill."""
    from dictate.exchange.csv_files import HEADINGS, tally_csv, tally_lines
    from dictate.record import tally as counting
    from dictate.store.record_queries import Scope, action_rows

    with opened() as (database, settings), database.reading() as session:
        visit = visit_asked(session, settings, farm, date)
        counted = counting.tally(
            action_rows(session, Scope(visit_id=visit.id)),
            counting.prices_of(settings),
            currency=settings.currency,
        )
    if as_json:
        print_json(counted)
    elif out is not None:
        put_out(out, tally_csv(counted))
    else:
        table = Table(*HEADINGS[:-1])
        for line in tally_lines(counted):
            add_plain(table, *line[:-1])
        draw(table)
        typer.echo(f"total {counted.currency} {counted.total}".replace("  ", " "))
    for kind in counted.without_price:
        say(f"{kind}: no price in settings.toml; it is in no sum")
    for kind in counted.without_foot:
        say(f"{kind}: priced by the foot, and some named no foot; those are in no sum")


@herd.command()
def picture(
    *,
    farm: Farm = None,
    since: Since = None,
    until: Until = None,
    everything: Annotated[
        bool, typer.Option("--all", help="All visits; else the year up to the last one.")
    ] = False,
    chronic: Chronic = 3,
    out: Annotated[
        Path | None, typer.Option("--out", help="Write the page (.html) or PDF (.pdf) with plots.")
    ] = None,
    as_json: Json = False,
) -> None:
    """How common each lesion is, with what it was counted out of."""
    from dictate.store.herd import herd_picture

    with opened() as (database, settings), database.reading() as session:
        drawn = herd_picture(
            session, farm_asked(session, settings, farm), since=day(since), until=day(until),
            days=None if everything else YEAR, chronic_visits=chronic,
        )  # fmt: skip
    if out is not None:
        from dictate.sheets.herd_sheet import write_herd_sheet

        typer.echo(write_herd_sheet(drawn, out, paper=settings.paper))
    elif as_json:
        print_json(drawn)
    else:
        for trim in drawn.trims:
            table = Table("lesion", "animals", "looked at", "%", "95 % interval", title=f"{trim.trim}, {len(trim.visits)} visit{'' if len(trim.visits) == 1 else 's'}")  # fmt: skip
            for row in trim.herd:
                low, high = row.interval
                ends = f"{100 * low:.1f}-{100 * high:.1f}"
                add_plain(table, row.lesion, str(row.count), str(row.out_of), row.percent, ends)
            draw(table)
        say("Whole-herd visits and visits to chosen animals must not be compared.")


@herd.command("open")
def show_open(*, farm: Farm = None, as_json: Json = False) -> None:
    """Cases that no note has closed, the longest without a look first."""
    from dictate.store.herd import open_cases

    with opened() as (database, settings), database.reading() as session:
        cases = open_cases(session, farm_asked(session, settings, farm))
    if as_json:
        print_json([_plain(case) for case in cases])
    elif cases:
        table = Table("animal", "case", "first found", "last found", "visits", "last said")
        for case in cases:
            add_plain(table, case.animal, f"{say_place(case.foot, case.claw)} {case.name}", in_words(case.first_on), in_words(case.last_on), str(case.visits), case.course)  # fmt: skip
        draw(table)
    else:
        say("No case is open.")


@herd.command()
def repeats(
    *,
    farm: Farm = None,
    days: Annotated[
        int, typer.Option("--days", min=1, max=36_500, help="Length of the period.")
    ] = YEAR,
    at_least: Annotated[
        int, typer.Option("--at-least", min=2, max=1000, help="Times that cases began in it.")
    ] = 2,
    until: Until = None,
    as_json: Json = False,
) -> None:
    """Animals with cases that began more than once in a year, or another period."""
    from dictate.store.herd import animals_with_cases

    last = day(until) or dt.date.today()  # noqa: DTZ011 - the trimmer's own day
    first = last - dt.timedelta(days=days - 1)
    with opened() as (database, settings), database.reading() as session:
        found = animals_with_cases(session, farm_asked(session, settings, farm), since=first, until=last, at_least=at_least)  # fmt: skip
    if as_json:
        print_json(
            [
                {
                    "animal": one.animal,
                    "times": one.times,
                    "cases": [_plain(case) for case in one.cases],
                }
                for one in found
            ]
        )
        return
    for one in found:
        cases = "; ".join(
            f"{say_place(c.foot, c.claw)} {c.name} ({in_words(c.first_on)})" for c in one.cases
        )
        typer.echo(f"{one.animal}\t{one.times}\t{cases}")
    if not found:
        say(
            f"No animal had cases that began {at_least} times or more from {in_words(first)} to {in_words(last)}."
        )


@herd.command()
def changes(*, farm: Farm = None, until: Day = None, as_json: Json = False) -> None:
    """What went up or down between the last two visits of the same kind."""
    from dictate.store.herd import herd_picture

    with opened() as (database, settings), database.reading() as session:
        drawn = herd_picture(
            session, farm_asked(session, settings, farm), until=day(until), days=None
        )
    if as_json:
        print_json([{"trim": trim.trim, "changes": trim.changes} for trim in drawn.trims])
        return
    for trim in drawn.trims:
        for change in trim.changes:
            how = ("up" if change.is_up else "not up") + (
                "" if change.is_clear else ", may be chance"
            )
            before, now = (
                f"{p.count} of {p.out_of} ({p.percent} %)" for p in (change.before, change.now)
            )
            typer.echo(f"{trim.trim}\t{change.lesion}\t{before}\t{now}\t{how}")
    if not any(trim.changes for trim in drawn.trims):
        say("There are no two visits of one kind to compare.")


def _plain(case: "CaseRow") -> dict[str, object]:
    return {
        "animal": case.animal, "case": case.name, "foot": case.foot, "claw": case.claw,
        "first_on": case.first_on, "last_on": case.last_on, "visits": case.visits, "course": case.course,
    }  # fmt: skip
