"""Copy the whole database, proved by opening the copy; also as files that open without the program."""

import datetime as dt
from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import Json, opened, print_json
from dictate.entry.wording import counted
from dictate.safekeeping import back_up_home
from dictate.settings import load_settings

app = typer.Typer()


@app.command(help=__doc__)
def backup(
    folder: Annotated[
        Path | None,
        typer.Argument(
            help="Folder to keep backups in, best on another disk; else `backups` at home."
        ),
    ] = None,
    *,
    keep: Annotated[
        int, typer.Option(min=0, max=100_000, help="Backups kept, newest first; 0 keeps all.")
    ] = 14,
    sound: Annotated[
        bool | None,
        typer.Option("--sound/--no-sound", help="Copy new sound too; on when a folder is given."),
    ] = None,
    as_files: Annotated[
        bool,
        typer.Option(
            "--as-files", help="Write pages, tables and sound to an empty folder instead."
        ),
    ] = False,
    as_json: Json = False,
) -> None:
    if as_files:
        if folder is None:
            raise typer.BadParameter("--as-files needs a folder")
        _write_files(folder, as_json=as_json)
        return
    settings = load_settings()
    target = folder or settings.home / "backups"
    made = back_up_home(
        settings,
        target,
        keep=keep,
        with_sound=folder is not None if sound is None else sound,
        now=dt.datetime.now(dt.UTC),
    )
    gone = made.sounds_missing
    if as_json:
        print_json({
            "file": made.checked.path,
            "rows": dict(made.checked.counts),
            "dropped": list(made.dropped),
            "sounds_copied": made.sounds_copied,
            "sounds_missing": list(gone),
        })  # fmt: skip
    else:
        rows = ", ".join(f"{number} {name}" for name, number in made.checked.counts.items())
        typer.echo(
            f"{made.checked.path}: whole; {rows}; {counted(made.sounds_copied, 'sound')} copied"
        )
    if gone:
        typer.echo(
            f"{counted(len(gone), 'sound')} missing or altered at home: {', '.join(gone[:5])}",
            err=True,
        )
        raise typer.Exit(1)


def _write_files(folder: Path, *, as_json: bool) -> None:
    from dictate.exchange.open_folder import write_open_folder  # noqa: PLC0415 (seldom needed)

    with opened() as (database, settings), database.reading() as session:
        counts = write_open_folder(session, settings, folder)
    if as_json:
        print_json(counts)
    else:
        typer.echo(
            f"{folder / 'index.html'}: " + ", ".join(f"{n} {name}" for name, n in counts.items())
        )
