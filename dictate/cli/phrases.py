"""List what can be said: each term of the lexicon and the ways to say it."""

from typing import Annotated

import typer

from dictate.cli.common import Json, print_json

app = typer.Typer()


@app.command(help=__doc__)
def phrases(
    about: Annotated[
        str | None, typer.Argument(help="Only what holds this word, e.g. ulcer or block.")
    ] = None,
    *,
    as_json: Json = False,
) -> None:
    from dictate.notes.phrase_list import phrase_list  # noqa: PLC0415 (the grammar is slow to load)

    groups = phrase_list(about)
    if as_json:
        print_json(groups)
        return
    for group in groups:
        typer.echo(f"\n{group.name}")
        for meaning, said in group.terms.items():
            typer.echo(f"  {meaning}: {', '.join(said)}" if said else f"  {meaning}")
