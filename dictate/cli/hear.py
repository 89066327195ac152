"""Hearing outside the evening: sound files alone, and live at the chute."""

import json
import signal
import threading
from itertools import takewhile
from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import Farm, farm_named, herd_of, opened, say, say_what_is_kept
from dictate.entry.wording import counted
from dictate.errors import SoundError


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
    """Hear sound files and print what was understood, without touching the database."""
    from dictate.hearing import open_engine
    from dictate.hearing.hear_files import hear_file
    from dictate.notes.context import taught_here
    from dictate.notes.taking_in import find_files
    from dictate.settings import load_settings
    from dictate.voice.kept import model_in_use

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
    """Listen live at the chute, and answer by ear."""
    from dictate.cli.progress import Meter
    from dictate.notes.listening import Answer, listen
    from dictate.notes.live_notes import Understanding
    from dictate.notes.recordings import whole_folder
    from dictate.sound import devices, journal, live, microphone, say_back
    from dictate.sound.stream import RATE
    from dictate.voice.kept import model_in_use

    if list_devices:
        for name in devices.list_microphones():
            typer.echo(name)
        return

    def told(answer: Answer) -> None:
        typer.echo(f"{answer.note.path.name}\t{answer.tone}\t{answer.line}")

    heard = microphone.FileMicrophone(play) if play else microphone.HeadsetMicrophone(device)
    player = say_back.SilentPlayer() if play else devices.Loudspeaker(RATE)
    with opened() as (database, settings), live.only_one(settings.home / "listening.lock"):
        at = farm_named(settings, farm)
        folder = settings.home / "live"
        understand = Understanding(database, settings, farm=at, model=model_in_use(settings, model))
        whole = whole_folder(settings)
        understand.warm_up(journal.recover(folder, whole=whole))
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
