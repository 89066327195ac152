"""Check the model, sound, database and disk, and say what to do."""

from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import Json, print_json, say

app = typer.Typer()

_LISTEN_SECONDS = 10.0


@app.command(help=__doc__)
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
    if sound or clip:
        raise typer.Exit(_judge_sound(clip, device, as_json=as_json))
    from dictate.doctor import examine  # noqa: PLC0415 (the recogniser is slow to load)

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
    from dictate.sound import read_sound  # noqa: PLC0415
    from dictate.sound.levels import advise, measure_levels  # noqa: PLC0415
    from dictate.sound.microphone import HeadsetMicrophone, record  # noqa: PLC0415

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
