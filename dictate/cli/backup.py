"""What is kept: copied, put back, and dropped."""

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dictate.cli.common import By, Json, day, opened, print_json, say
from dictate.entry.wording import counted
from dictate.settings import load_settings

if TYPE_CHECKING:
    from dictate.settings import Settings


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
    """Copy the whole database, proved by opening the copy; also as files that open without the program."""
    if as_files:
        if folder is None:
            raise typer.BadParameter("--as-files needs a folder")
        _write_files(folder, as_json=as_json)
        return
    from dictate.safekeeping import back_up_home

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
    from dictate.exchange.open_folder import write_open_folder

    with opened() as (database, settings), database.reading() as session:
        counts = write_open_folder(session, settings, folder)
    if as_json:
        print_json(counts)
    else:
        typer.echo(
            f"{folder / 'index.html'}: " + ", ".join(f"{n} {name}" for name, n in counts.items())
        )


def restore(
    file: Annotated[Path, typer.Argument(help="A record-….db file of a backup folder.")],
    *,
    check: Annotated[
        bool, typer.Option("--check", help="Only prove it whole; change nothing.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Put a backup back, or only check it; what was there before is kept."""
    from dictate.safekeeping import check_home_backup, put_home_back

    settings = load_settings()
    found = (
        check_home_backup(settings, file)
        if check
        else put_home_back(settings, file, now=dt.datetime.now(dt.UTC))
    )
    checked, kept, gone = found.checked, found.kept, found.sounds_missing
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
                f"Without whole sound now: {counted(len(gone), 'clip')}: {', '.join(gone[:5])}",
                err=True,
            )
    raise typer.Exit(1 if gone else 0)


def forget_audio(
    *,
    before: Annotated[
        str, typer.Option("--before", help="Sound of visits before this day, e.g. 2026-03-02.")
    ],
    also_waiting: Annotated[
        bool, typer.Option("--also-waiting", help="Also sound of notes that still wait for review.")
    ] = False,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Only say what would be dropped.")
    ] = False,
    whose: Annotated[
        str | None, typer.Option("--whose", help="Who spoke; else the trimmer in the settings.")
    ] = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Drop kept sound from before a day; words, entries and the herd record stay."""
    from dictate.notes.forgetting import forget_sound
    from dictate.voice.kept import of_sounds

    with opened() as (database, settings):
        before_it = _hashes(settings)
        gone = forget_sound(
            database, settings, who=by or settings.trimmer, whose=whose, before=day(before),
            also_waiting=also_waiting, dry_run=dry_run,
        )  # fmt: skip
    if as_json:
        print_json(gone)
        return
    would = "would be " if dry_run else ""
    whole = f" and of {counted(gone.recordings, 'whole recording')}" if gone.recordings else ""
    typer.echo(
        f"{would}forgotten: sound of {counted(gone.clips, 'note')} of {gone.whose}{whole}, {gone.bytes / 1e6:.1f} MB"
    )
    for date, farm, count in gone.visits:
        say(f"  {date} {farm}: {count}")
    if gone.waiting:
        say(f"Waiting for review, sound kept: {gone.waiting}; --also-waiting takes them too.")
    if gone.unheard:
        say(f"Not heard yet, sound kept: {gone.unheard}; `dictate take-in` hears them.")
    if gone.later:
        say(f"From {before} on, sound kept: {gone.later}.")
    if gone.of_others:
        say(f"Of other trimmers, sound kept: {gone.of_others}; --whose names one.")
    for voice in of_sounds(settings, before_it - _hashes(settings)):
        say(
            f"The voice of {voice.card.name}, {voice.version}, was learnt from some of it too: "
            "`dictate voice forget` drops it."
        )
    if gone.clips and not dry_run:
        say("Copies in backups and on recorders are not touched.")


def _hashes(settings: "Settings") -> set[str]:
    """Names of the kept sounds: hashes of their bytes."""
    return {path.stem for path in settings.sounds.glob("??/*")}
