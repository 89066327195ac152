"""List what can be said: each term of the lexicon and the ways to say it."""

from typing import Annotated

import typer

from dictate.cli.common import Json, print_json

app = typer.Typer()


@app.command(help=__doc__)
def phrases(
    about: Annotated[
        str | None,
        typer.Argument(
            help="Every way to say what holds this word, e.g. ulcer; none prints one page."
        ),
    ] = None,
    *,
    as_json: Json = False,
) -> None:
    from grammar.say.phrases import phrase_sheet, phrase_topics  # noqa: PLC0415 (slow to load)

    if about is None and not as_json:
        typer.echo(phrase_sheet())
        return
    rows = [
        {"topic": topic.title, "recorded": name, "said": list(said)}
        for topic in phrase_topics()
        for name, said in topic.rows
        if about is None or any(about.lower() in text for text in (name, *said))
    ]
    if as_json:
        print_json(rows)
        return
    for row in rows:
        typer.echo(f"{row['recorded']}: {', '.join(row['said'])}")
