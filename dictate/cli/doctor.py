"""Whether this computer and its models are fit to hear."""

from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import Json, herd_of, print_json, say

_LISTEN_SECONDS = 10.0

model = typer.Typer(
    help="Look at, check, measure and build recogniser models.", no_args_is_help=True
)

Folder = Annotated[
    Path | None, typer.Argument(help="Folder of a Vosk model; none: the bundled one.")
]


def doctor(
    clip: Annotated[
        Path | None, typer.Argument(help="With --sound: a clip to judge, else ten seconds live.")
    ] = None,
    *,
    sound: Annotated[
        bool, typer.Option("--sound", help="Judge the microphone: level, noise, clipping.")
    ] = False,
    device: Annotated[str | None, typer.Option(help="Microphone: its number or name.")] = None,
    as_json: Json = False,
) -> None:
    """Check the model, sound, database and disk, and say what to do."""
    if sound or clip:
        raise typer.Exit(_judge_sound(clip, device, as_json=as_json))
    from dictate.doctor import examine

    findings = examine()
    if as_json:
        print_json(findings)
    else:
        for one in findings:
            typer.echo(f"{'ok ' if one.ok else 'BAD'} {one.part}: {one.what}")
            if one.remedy:
                typer.echo(f"    {one.remedy}")
    raise typer.Exit(0 if all(one.ok for one in findings) else 1)


def _judge_sound(clip: Path | None, device: str | None, *, as_json: bool) -> int:
    """Print the measures and what to do; 0 when there is nothing to do."""
    from dictate.sound import read_sound
    from dictate.sound.levels import advise, measure_levels
    from dictate.sound.microphone import HeadsetMicrophone, record

    if clip is None:
        say("Say a whole note as you would at the chute, with the machines running.")
        heard = record(HeadsetMicrophone(device), _LISTEN_SECONDS)
    else:
        heard = read_sound(clip)
    levels = measure_levels(heard)
    advice = advise(levels, silent=heard.silent)
    if as_json:
        print_json({"levels": levels, "advice": advice})
    else:
        for line in levels.lines:
            typer.echo(line)
        for line in advice or ["Nothing to change."]:
            typer.echo(line)
    return 1 if advice else 0


@model.command()
def info(folder: Folder = None, *, as_json: Json = False) -> None:
    """Show what a model is and what it can do."""
    from dictate.hearing.inspecting import describe_model

    about = describe_model(folder)
    if as_json:
        print_json(about)
    else:
        for name, value in about.items():
            typer.echo(f"{name}: {value}")


@model.command()
def check(folder: Folder = None, *, as_json: Json = False) -> None:
    """Check that a model can hear the trade's words; exit code 4 when it cannot."""
    from dictate.hearing.inspecting import check_model

    findings = check_model(folder)
    if as_json:
        print_json(findings)
    else:
        for line in findings.lines():
            typer.echo(line)
    raise typer.Exit(0 if findings.fit else 4)


@model.command()
def measure(
    folder: Annotated[Path, typer.Argument(help="Folder of sound with a transcripts.tsv.")],
    *,
    engine: Annotated[
        list[str] | None,
        typer.Option(help="bundled, a model folder, pocketsphinx or whisper:FOLDER; repeatable."),
    ] = None,
    split: Annotated[str | None, typer.Option(help="Only rows of this split.")] = None,
    language: Annotated[
        str, typer.Option(help="notes, or table: the table's own words.")
    ] = "notes",
    roster: Annotated[Path | None, typer.Option(help="Roster file of the herd.")] = None,
    limit: Annotated[
        int | None, typer.Option(min=1, help="Only so many rows, spread evenly.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Measure word error, slots, entries, speed and memory on a folder of sound."""
    from dictate.measuring.measure import measure
    from dictate.measuring.measure_report import as_plain, as_table
    from dictate.measuring.measured_engines import Language
    from dictate.measuring.tables import choose, read_table

    measured, others = choose(read_table(folder), split=split, limit=limit)
    herd = herd_of(roster) if roster else None
    reports = measure(
        measured, engine or ["bundled"], language=Language(language), others=others, roster=herd
    )
    if as_json:
        print_json([as_plain(report) for report in reports])
    else:
        typer.echo(as_table(reports))


@model.command()
def build(
    acoustic: Annotated[Path, typer.Argument(help="Acoustic model: an am/final.mdl of ours.")],
    target: Annotated[Path, typer.Argument(help="New folder for the model.")],
    *,
    version: Annotated[str, typer.Option(help="Version of the model.")],
    sharpen: Annotated[
        float | None, typer.Option(help="As the acoustic model was exported with.", min=0.01)
    ] = None,
    blank_penalty: Annotated[
        float | None, typer.Option(help="As the acoustic model was exported with.")
    ] = None,
    run_time: Annotated[
        bool, typer.Option("--run-time", help="Also take words at run time; needs OpenFst's tools.")
    ] = False,
) -> None:
    """Build a model from an acoustic model and the grammar."""
    from dictate.decoder.build import build_from_grammar
    from dictate.decoder.model_files import Outputs

    if (sharpen is None) != (blank_penalty is None):
        raise typer.BadParameter("give both --sharpen and --blank-penalty, or neither")
    outputs = (
        None
        if sharpen is None or blank_penalty is None
        else Outputs(sharpen=sharpen, blank_penalty=blank_penalty)
    )
    card = build_from_grammar(acoustic, target, version=version, outputs=outputs, run_time=run_time)
    typer.echo(f"{card.name} {card.version} in {target}")
