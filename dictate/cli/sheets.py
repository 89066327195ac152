"""What a visit comes to on paper: its sheet and its bill."""

import csv
import io
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from rich.table import Table

from dictate.cli.common import Day, Farm, Json, draw, opened, print_json, say, visit_asked
from dictate.cli.tables import add_plain

if TYPE_CHECKING:
    from dictate.record.tally import Tally


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


HEADINGS = ("what", "animals", "feet", "times", "price", "for each", "amount", "currency")


def tally(
    *,
    farm: Farm = None,
    date: Day = None,
    out: Annotated[Path | None, typer.Option("--out", help="CSV file to write.")] = None,
    as_json: Json = False,
) -> None:
    """Count what was done at a visit, with the trimmer's own prices, for the bill."""
    from dictate.record import tally as counting
    from dictate.store.record_queries import Scope, action_rows
    from dictate.written import write_whole

    with opened() as (database, settings), database.reading() as session:
        visit = visit_asked(session, settings, farm, date)
        prices = {
            kind: counting.Price(amount=amount, per=settings.charge_by.get(kind, "each"))
            for kind, amount in settings.prices.items()
        }
        counted = counting.tally(
            action_rows(session, Scope(visit_id=visit.id)), prices, currency=settings.currency
        )
    if as_json:
        print_json(counted)
    elif out is not None:
        text = io.StringIO()
        csv.writer(text).writerows([HEADINGS, *_lines(counted)])
        typer.echo(write_whole(out, text.getvalue()))
    else:
        table = Table(*HEADINGS[:-1])
        for line in _lines(counted):
            add_plain(table, *line[:-1])
        draw(table)
        typer.echo(f"total {counted.currency} {counted.total}".replace("  ", " "))
    for kind in counted.without_price:
        say(f"{kind}: no price in settings.toml; it is in no sum")
    for kind in counted.without_foot:
        say(f"{kind}: priced by the foot, and some named no foot; those are in no sum")


def _lines(counted: "Tally") -> list[tuple[str, ...]]:
    from dictate.exchange.values import guarded

    return [
        (
            guarded(line.kind), str(line.animals), str(line.feet), str(line.times),
            str(line.price.amount) if line.price else "", line.price.per if line.price else "",
            str(line.amount) if line.price else "", guarded(counted.currency),
        )
        for line in counted.lines
    ]  # fmt: skip
