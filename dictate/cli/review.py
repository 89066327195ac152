"""Go through the evening's queue on a page in the browser; --lan lets a phone in too."""

from typing import Annotated

import typer

from dictate.cli.common import opened

app = typer.Typer()


@app.command(help=__doc__)
def review(
    *,
    lan: Annotated[
        bool, typer.Option("--lan", help="Serve the local network too, for a phone with the code.")
    ] = False,
    port: Annotated[int, typer.Option(min=0, max=65_535, help="Port; 0 takes a free one.")] = 0,
    browser: Annotated[bool, typer.Option(help="Open the page in the browser.")] = True,
) -> None:
    open_page(lan=lan, port=port, browser=browser)


def open_page(*, lan: bool = False, port: int = 0, browser: bool = True) -> None:
    """Serve the page and show it, until Ctrl-C; also what `dictate` does without a command."""
    from dictate.web.serve import How, serve  # noqa: PLC0415 (slow to load)

    with opened() as (database, settings):
        serve(database, settings, How(port=port, lan=lan, browser=browser), say=typer.echo)
