"""Listen live at the chute, and answer by ear."""

import signal
import threading
from itertools import takewhile
from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import Farm, opened, say, say_what_is_kept
from dictate.entry.wording import counted

app = typer.Typer()


@app.command(help=__doc__)
def listen(
    *,
    farm: Farm = None,
    device: Annotated[str | None, typer.Option(help="Microphone: its number or name.")] = None,
    list_devices: Annotated[
        bool, typer.Option("--list-devices", help="List the microphones, and end.")
    ] = False,
    voice: Annotated[str, typer.Option(help="Voice of the answers; empty for tones alone.")] = "en",
    play: Annotated[
        list[Path] | None, typer.Option("--play", help="Hear sound files instead, in real time.")
    ] = None,
    model: Annotated[Path | None, typer.Option(help="Folder of a Vosk model.")] = None,
) -> None:
    from dictate.cli.meter import Meter  # noqa: PLC0415 (slow to load)
    from dictate.notes.listening import Answer, listen  # noqa: PLC0415 (slow to load)
    from dictate.notes.live_notes import Understanding  # noqa: PLC0415
    from dictate.notes.recordings import whole_folder  # noqa: PLC0415
    from dictate.sound import devices, live, microphone, say_back  # noqa: PLC0415
    from dictate.sound.stream import RATE  # noqa: PLC0415
    from dictate.voice.kept import model_in_use  # noqa: PLC0415

    if list_devices:
        for name in devices.list_microphones():
            typer.echo(name)
        return

    def told(answer: Answer) -> None:
        typer.echo(f"{answer.note.path.name}\t{answer.tone}\t{answer.line}")

    heard = microphone.FileMicrophone(play) if play else microphone.HeadsetMicrophone(device)
    player = say_back.SilentPlayer() if play else devices.Loudspeaker(RATE)
    with opened() as (database, settings), live.only_one(settings.home / "listening.lock"):
        at = farm or settings.farm
        if at is None:
            raise typer.BadParameter("name the farm with --farm, or set `farm` in settings.toml")
        folder = settings.home / "live"
        understand = Understanding(database, settings, farm=at, model=model_in_use(settings, model))
        whole = whole_folder(settings)
        understand.warm_up(live.recover(folder, whole=whole))
        speaker = say_back.EspeakVoice(voice=voice) if voice else None
        listener = live.Listener(folder, whole=whole)
        stop = threading.Event()
        signal.signal(signal.SIGINT, lambda *_: stop.set())  # the open note is finished first
        say_what_is_kept(settings)
        say("Listening. Ctrl-C ends it.")
        with Meter(listener) as meter:
            listen(
                meter.watch(takewhile(lambda _: not stop.is_set(), heard.chunks())), listener,
                understand, player=player, voice=speaker, prepare=understand.prepare,
                on_answer=told, on_fault=lambda error: say(error.line),
            )  # fmt: skip
    if listener.lost:
        say(f"Sound was lost {counted(listener.lost, 'time')}.")
