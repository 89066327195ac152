"""Put a backup back, or only check it; what was there before is kept."""

import datetime as dt
import shutil
from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import Json, print_json
from dictate.settings import load_settings
from dictate.store.backup import check_backup, check_sounds, copy_sounds, put_back, sqlite_path
from dictate.voice.kept import copy_voices

app = typer.Typer()


@app.command(help=__doc__)
def restore(
    file: Annotated[Path, typer.Argument(help="A record-….db file of a backup folder.")],
    *,
    check: Annotated[
        bool, typer.Option("--check", help="Only prove it whole; change nothing.")
    ] = False,
    as_json: Json = False,
) -> None:
    settings = load_settings()
    sounds = file.parent / "sounds"
    checked, kept = check_backup(file), None
    if not check:
        kept = put_back(file, sqlite_path(settings.database_url), now=dt.datetime.now(dt.UTC))
        copy_sounds(sounds, settings.sounds)
        _missing_toml(file, settings.home)
        if not (settings.home / "voices").exists():
            copy_voices(file.parent / "voices", settings.home / "voices")
    gone = check_sounds(file, sounds, settings.sounds)
    if as_json:
        print_json(
            {"file": file, "rows": dict(checked.counts), "kept": kept, "sounds_missing": list(gone)}
        )
    else:
        rows = ", ".join(f"{number} {name}" for name, number in checked.counts.items())
        typer.echo(f"{file}: {'whole' if check else 'put back'}; {rows}")
        if kept:
            typer.echo(f"What was there before is kept as {kept}")
        if gone:
            typer.echo(
                f"{len(gone)} clips have no whole sound any more: {', '.join(gone[:5])}", err=True
            )
    raise typer.Exit(1 if gone else 0)


def _missing_toml(file: Path, home: Path) -> None:
    """Settings and taught terms come back only where there are none now."""
    for path in file.parent.glob(f"{file.stem}.*.toml"):
        target = home / path.name.removeprefix(f"{file.stem}.")
        if not target.exists():
            shutil.copyfile(path, target)
