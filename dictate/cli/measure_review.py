"""Report how much had to be corrected, visit by visit."""

from typing import Annotated

import typer

from dictate.cli.common import Json, day, opened, print_json, say
from dictate.review.measure import reviews_by_visit

app = typer.Typer()


@app.command(help=__doc__)
def measure_review(
    *,
    since: Annotated[str | None, typer.Option("--since", help="First day that counts.")] = None,
    as_json: Json = False,
) -> None:
    with opened() as (database, _settings), database.reading() as session:
        reviews = reviews_by_visit(session, since=day(since))
    if as_json:
        print_json(reviews)
        return
    for one in reviews:
        rate = "–" if one.per_note is None else f"{one.per_note:.2f}"
        typer.echo(
            f"{one.date}  {one.farm}: {one.notes} notes, {one.decided} of {one.entries} entries decided, "
            f"{one.amended} corrected, {one.rejected} discarded, {rate} a note"
        )
    if not reviews:
        say("No visits yet.")
