"""Take sound files in, hear them, and put what was said into the queue."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dictate.cli.common import Bar, Day, Farm, Json, day, opened, print_json
from dictate.errors import SoundError

if TYPE_CHECKING:
    from dictate.notes.pipeline import Batch

app = typer.Typer()


@app.command(help=__doc__)
def take_in(
    paths: Annotated[
        list[Path] | None,
        typer.Argument(help="Files and folders; none goes on with what is unfinished."),
    ] = None,
    *,
    farm: Farm = None,
    date: Day = None,
    whole_herd: Annotated[
        bool | None, typer.Option("--whole-herd/--part", help="Was the whole herd trimmed?")
    ] = None,
    everybody: Annotated[
        bool, typer.Option("--everybody", help="In long recordings, take distant voices too.")
    ] = False,
    watch: Annotated[
        bool, typer.Option("--watch", help="Go on taking in what appears; Ctrl-C ends it.")
    ] = False,
    model: Annotated[Path | None, typer.Option(help="Folder of a Vosk model.")] = None,
    as_json: Json = False,
) -> None:
    from dictate.hearing import open_engine  # noqa: PLC0415 (the recogniser is slow to load)
    from dictate.notes.pipeline import run_batch  # noqa: PLC0415
    from dictate.notes.recordings import open_up, tidy  # noqa: PLC0415
    from dictate.notes.taking_in import Where, find_files  # noqa: PLC0415
    from dictate.sound.watch import settled_files  # noqa: PLC0415

    with opened() as (database, settings), Bar() as bar:
        at = farm or settings.farm
        if paths and at is None:
            raise typer.BadParameter("name the farm with --farm, or set `farm` in settings.toml")
        where = Where(farm=at, date=day(date), whole_herd=whole_herd) if at else None

        def engine(roster):
            return open_engine(model or settings.model, roster=roster)

        def found() -> list[Path]:
            return find_files(paths or ())

        exit_code = 0
        for files in settled_files(found) if watch else [found()]:
            notes = open_up(settings, files, everybody=everybody, watcher=bar)
            batch = run_batch(database, settings, notes.files, where, engine, watcher=bar)
            tidy(settings)
            _report(batch, notes.faults, as_json=as_json)
            exit_code = batch.exit_code or (SoundError.exit_code if notes.faults else 0)
    raise typer.Exit(exit_code)


def _report(batch: "Batch", faults: tuple[str, ...], *, as_json: bool) -> None:
    from dictate.notes.taking_in import Fate  # noqa: PLC0415

    counts = {str(fate): batch.count(fate) for fate in Fate} | {
        "heard": sum(not clip.fault for clip in batch.heard),
        "read": batch.notes_read,
    }
    if as_json:
        print_json(counts | {"files": batch.files, "faults": faults + batch.faults})
    else:
        typer.echo(", ".join(f"{number} {what}" for what, number in counts.items()))
