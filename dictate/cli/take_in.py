"""Take sound files in, hear them, and put what was said into the queue."""

from collections import Counter
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dictate.cli.common import (
    Day,
    Farm,
    Json,
    day,
    farm_named,
    opened,
    print_json,
    say,
    say_what_is_kept,
)
from dictate.cli.progress import Bar
from dictate.entry.wording import counted
from dictate.errors import SoundError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from dictate.hearing import Engine
    from dictate.notes.pipeline import Batch, Hands
    from dictate.notes.taking_in import Where
    from dictate.settings import Settings
    from grammar import Roster

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
    second_listener: Annotated[
        Path | None, typer.Option(help="Folder of a faster-whisper model that hears again.")
    ] = None,
    workers: Annotated[
        int | None,
        typer.Option(min=1, max=256, help="Hear and read on this many processes of this computer."),
    ] = None,
    cluster: Annotated[
        str | None, typer.Option(help="Hear and read on a Dask cluster; address of its scheduler.")
    ] = None,
    as_json: Json = False,
) -> None:
    from dictate.decoder.terms import load_terms
    from dictate.hearing import open_engine
    from dictate.notes.pipeline import run_batch
    from dictate.notes.recordings import open_up, tidy
    from dictate.notes.taking_in import Where, find_files
    from dictate.notes.unfinished import unfinished
    from dictate.sound.files import settled_files
    from dictate.voice.kept import model_in_use

    with opened() as (database, settings), Bar() as bar, ExitStack() as stack:
        at = farm_named(settings, farm) if paths else farm or settings.farm
        say_what_is_kept(settings)
        where = Where(farm=at, date=day(date), whole_herd=whole_herd) if at else None

        terms = load_terms(settings.home)  # here: a worker elsewhere has another home

        def engine(roster: "Roster | None") -> "Engine":
            return open_engine(
                model_in_use(settings, model), roster=roster, terms=terms, second=second_listener
            )

        def found() -> list[Path]:
            return find_files(paths or ())

        def jobs() -> "Iterator[tuple[Sequence[Path], Where | None, bool]]":
            for files in settled_files(found) if watch else [found()]:
                yield files, where, everybody
                for one in () if paths else filter(lambda one: one.there, unfinished(settings)):
                    yield [one.path], one.where, one.everybody

        stack.callback(_name_unfinished, settings)
        hands = _hands(stack, cluster, workers)
        exit_code, told = 0, False
        for files, at_visit, all_voices in jobs():
            notes = open_up(settings, files, where=at_visit, everybody=all_voices, watcher=bar)
            batch = run_batch(
                database, settings, notes.files, at_visit, engine, watcher=bar, hands=hands
            )
            tidy(settings, notes)
            did = bool(batch.files or batch.heard or batch.notes_read or notes.faults)
            told |= did
            if did or paths or as_json:
                _report(batch, notes.faults, as_json=as_json)
            exit_code = exit_code or batch.exit_code
            if notes.faults:
                exit_code = SoundError.exit_code
        if not (told or paths or as_json):
            say("Nothing is unfinished. Name files or folders to take in")
    raise typer.Exit(exit_code)


def _name_unfinished(settings: "Settings") -> None:
    """At the end, also one by Ctrl-C: say which recordings are still to be gone on with."""
    from dictate.notes.unfinished import unfinished

    for one in unfinished(settings):
        say(one.line)


def _hands(stack: ExitStack, address: str | None, workers: int | None) -> "Hands":
    """Who hears and reads: this process, or Dask's workers until the stack closes."""
    from dictate.notes.pipeline import Hands

    if address is None and workers is None:
        return Hands()
    from dictate.notes.many_machines import cluster, hands_of

    return hands_of(stack.enter_context(cluster(address=address, workers=workers)))


def _report(batch: "Batch", faults: tuple[str, ...], *, as_json: bool) -> None:
    from dictate.notes.taking_in import Fate

    counts = {str(fate): batch.count(fate) for fate in Fate} | {
        "heard": sum(not clip.fault for clip in batch.heard),
        "read": batch.notes_read,
    }
    if as_json:
        print_json(counts | {"files": batch.files, "faults": faults + batch.faults})
        return
    typer.echo(", ".join(f"{number} {what}" for what, number in counts.items()))
    for place, count in Counter(one.place for one in batch.files if one.place).items():
        say(
            f"{counted(count, 'file')} taken in before: {place}. "
            "`dictate visit move` moves notes to another farm or day"
        )
