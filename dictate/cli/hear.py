"""Hear sound files and print what was understood, without touching the database."""

import json
from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import herd_of
from dictate.errors import SoundError

app = typer.Typer()


@app.command(help=__doc__)
def hear(
    files: Annotated[list[Path], typer.Argument(help="Sound files, and folders of them.")],
    *,
    model: Annotated[Path | None, typer.Option(help="Folder of a Vosk model.")] = None,
    roster: Annotated[Path | None, typer.Option(help="Roster file of the herd.")] = None,
    second_listener: Annotated[
        Path | None, typer.Option(help="Folder of a faster-whisper model that hears again.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object a line.")] = False,
) -> None:
    from dictate.hearing import open_engine  # noqa: PLC0415 (the recogniser is slow to load)
    from dictate.hearing.hear_files import hear_file  # noqa: PLC0415
    from dictate.notes.taking_in import find_files  # noqa: PLC0415
    from dictate.notes.taught import taught_here  # noqa: PLC0415
    from dictate.settings import load_settings  # noqa: PLC0415
    from dictate.voice.kept import model_in_use  # noqa: PLC0415

    found = find_files(files)
    if not found:
        raise SoundError("no sound files", where=", ".join(map(str, files)))
    settings = load_settings()
    herd = herd_of(roster) if roster else None
    engine = open_engine(model_in_use(settings, model), roster=herd, second=second_listener)
    taught = taught_here(settings)
    faults = 0
    for file in found:
        answer = hear_file(engine, file, roster=herd, aliases=taught)
        if answer["error"]:
            faults += 1
            typer.echo(f"dictate: {answer['error']}", err=True)
        if as_json:
            typer.echo(json.dumps(answer, ensure_ascii=False))
        elif not answer["error"]:
            typer.echo(f"{file}: {answer['text'] or '(no speech)'}")
    if not as_json and faults < len(found):
        typer.echo("These are the words; --json prints what was understood of them.", err=True)
    raise typer.Exit(SoundError.exit_code if faults else 0)
