"""Run a day at an invented farm from sound files to a confirmed record."""

from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import Json, draw, print_json
from dictate.cli.progress import Bar

app = typer.Typer()


@app.command(help=__doc__)
def demo(
    *,
    audio: Annotated[
        Path | None,
        typer.Option(help="Folder of the clips; else those that come with the program."),
    ] = None,
    out: Annotated[
        Path | None, typer.Option(help="Folder to write to; else `demo` in the home folder.")
    ] = None,
    model: Annotated[Path | None, typer.Option(help="Folder of a Vosk model.")] = None,
    as_json: Json = False,
) -> None:
    from dictate.cli.demo_report import report  # noqa: PLC0415 (the recogniser is slow to load)
    from dictate.demo.running import run_demo  # noqa: PLC0415
    from dictate.demo.script import demo_folder  # noqa: PLC0415
    from dictate.hearing import open_engine  # noqa: PLC0415
    from dictate.settings import load_settings  # noqa: PLC0415

    settings = load_settings()
    with Bar() as bar:
        result = run_demo(
            audio or demo_folder(),
            out or settings.home / "demo",
            settings,
            lambda roster: open_engine(model or settings.model, roster=roster),
            watcher=bar,
        )
    if as_json:
        print_json(result)
    else:
        for part in report(result):
            draw(part)
