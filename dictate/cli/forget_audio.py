"""Drop kept sound from before a day; words, entries and the herd record stay."""

from typing import TYPE_CHECKING, Annotated

import typer

from dictate.cli.common import By, Json, day, opened, print_json, say
from dictate.entry.wording import counted

if TYPE_CHECKING:
    from dictate.settings import Settings

app = typer.Typer()


@app.command(help=__doc__)
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
    from dictate.notes.forgetting import forget_sound  # noqa: PLC0415 (slow to load)
    from dictate.voice.kept import of_sounds  # noqa: PLC0415

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
