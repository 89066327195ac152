"""Learn your own voice, so that you are heard better than a stranger."""

import datetime as dt
import os
import shutil
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dictate.cli.common import By, Json, opened, print_json, say
from dictate.cli.progress import Bar
from dictate.entry.wording import counted

if TYPE_CHECKING:
    from dictate.voice.how_far import Written
    from dictate.voice.learning import Learnt, Plan
    from dictate.voice.recordings import Material

app = typer.Typer(help=__doc__, no_args_is_help=True)


class _Shown:
    """A bar that is told how far the work is, and a file for the page to read."""

    def __init__(self, bar: Bar, written: "Written | None") -> None:
        self._bar, self._written = bar, written

    def stage(self, name: str, total: int) -> None:
        self._bar.stage(name, total)
        if self._written:
            self._written.stage(name, total)

    def at(self, done: int) -> None:
        if self._written:
            self._written.at(done)
        for task in self._bar.task_ids:
            self._bar.update(task, completed=done)


@app.command()
def learn(
    folder: Annotated[
        Path | None,
        typer.Argument(
            help="Folder of sound with a transcripts.tsv; none: what you read and confirmed."
        ),
    ] = None,
    *,
    out: Annotated[
        Path | None, typer.Option(help="New folder for the model; none: your voice from now on.")
    ] = None,
    split: Annotated[str | None, typer.Option(help="Only rows of this split.")] = None,
    speaker: Annotated[str | None, typer.Option(help="Only rows of this speaker.")] = None,
    gentle: Annotated[
        bool, typer.Option("--gentle", help="Let everything else on the computer go first.")
    ] = False,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Learn a voice; stopped at any moment, the next call goes on."""
    from dictate.demo.script import demo_folder
    from dictate.voice import evening, kept
    from dictate.voice.confirmed import newest_note
    from dictate.voice.how_far import Written
    from dictate.voice.learning import Plan
    from dictate.voice.model_folder import check_target, put_in_place
    from dictate.voice.needs import need_torch
    from dictate.voice.own_speech import own_speech
    from dictate.voice.recordings import of_folder
    from dictate.voice.report import as_plain, in_words

    need_torch()
    if out is not None:
        check_target(out)
    if gentle and hasattr(os, "nice"):
        os.nice(10)
    with opened() as (database, settings):
        who = by or settings.trimmer
        looked_up_to = newest_note(database)
        material = (
            of_folder(folder, split=split, speaker=speaker)
            if folder is not None
            else own_speech(database, settings, who).material()
        )
    base = kept.base_model(settings)
    plan = Plan(
        name=who,
        base=base,
        now=base if out is not None else kept.model_in_use(settings, who=who),
        work=kept.work_folder(settings, who) if out is None else _beside(out),
        others=tuple(sorted(demo_folder().glob("*.opus"))),
        today=dt.datetime.now(dt.UTC).date(),
        gentle=gentle,
        only_better=out is None,
    )
    with evening.alone(settings, who) if out is None else nullcontext():
        written = Written(kept.voices_folder(settings, who)) if out is None else None
        learnt = _learnt(material, plan, written)
        if out is not None:
            put_in_place(learnt.folder, out)
            place = str(out)
        elif learnt.comparison.better:
            version = kept.keep_voice(settings, learnt.folder, who=who, on=plan.today)
            place = f"{who}, {version}"
        else:
            place = ""
        if folder is None and out is None:
            evening.keep_mark(settings, who, looked_up_to)
        shutil.rmtree(plan.work, ignore_errors=True)
    if as_json:
        print_json(as_plain(learnt) | {"model": place or None})
        return
    for line in in_words(learnt, used=bool(place)):
        say(line)
    if place:
        typer.echo(place)


def _beside(out: Path) -> Path:
    return out.with_name(f"{out.name}.learning")


def _learnt(material: "Material", plan: "Plan", written: "Written | None") -> "Learnt":
    from dictate.voice.learning import learn as learn_voice

    try:
        with Bar() as bar:
            return learn_voice(material, plan, progress=_Shown(bar, written))
    finally:
        if written:
            written.end()


@app.command()
def prepare() -> None:
    """Get what learning needs (PyTorch) from the internet, once; nothing else of the program needs it."""
    from dictate.errors import VoiceError
    from dictate.settings import load_settings
    from dictate.voice import getting
    from dictate.voice.needs import can_learn

    settings = load_settings()
    if can_learn():
        say("Everything that learning needs is here: `dictate voice learn`.")
        return
    over_network, on_disk = getting.size_mb(settings)
    getting.start(settings)
    say(f"About {over_network} MB come over the network, {on_disk} MB on the disk.")
    with Bar() as bar:
        shown = ""
        while not getting.wait(settings, 0.5):
            far = getting.how_far(settings)
            if far.total and far.name != shown:
                bar.stage(f"{far.name} (MB)", far.total)
                shown = far.name
            for task in bar.task_ids:
                bar.update(task, completed=far.done)
    if fault := getting.fault(settings):
        raise VoiceError("what learning needs did not come", remedy=fault.rstrip("."))
    say("Everything that learning needs is here: `dictate voice learn`.")


@app.command()
def read(
    *,
    count: Annotated[int, typer.Option(help="Prompts in all.", min=4, max=200)] = 30,
    device: Annotated[str | None, typer.Option(help="Microphone: its number or name.")] = None,
    play: Annotated[
        list[Path] | None, typer.Option("--play", help="Take sound files for what is read.")
    ] = None,
    by: By = None,
) -> None:
    """Read prompts aloud, for your voice to be learnt from; go on whenever you like."""
    from dictate.cli.reading_aloud import KEYS, Reader, recorder
    from dictate.voice.own_speech import prompts_for, readings_folder
    from dictate.voice.reading import Readings

    with opened() as (database, settings):
        who = by or settings.trimmer
        prompts = prompts_for(database, who, count=count)
    readings = Readings(readings_folder(settings, who))
    left = list(readings.left(prompts))[: max(0, count - len(readings.read))]
    reader = Reader(readings, recorder(device, play))
    if not left:
        say(f"All {count} prompts are read; --count {count + 30} has thirty more.")
    say(KEYS)
    for at, prompt in enumerate(left, start=1):
        if not reader.read(prompt, f"{at} of {len(left)}"):
            break
    else:
        say("Machines: let the grinder or the crush run, nobody speaking, for half a minute.")
        reader.read("", "if you like")
    say(f"{len(readings.read)} prompts are read. `dictate voice learn` learns from them.")


@app.command(name="list")
def list_voices(*, as_json: Json = False) -> None:
    """List the voices that are known, and which are used."""
    from dictate.settings import load_settings
    from dictate.voice.kept import voices
    from dictate.voice.report import of_a_hundred_kept

    found = list(voices(load_settings()))
    if as_json:
        print_json(
            [
                {"version": one.version, "used": one.used}
                | one.card.model_dump(mode="json", exclude={"learnt_from"})
                for one in found
            ]
        )
        return
    for one in found:
        used = "used" if one.used else "not used"
        typer.echo(f"{one.card.name}, {one.version} ({used}): {of_a_hundred_kept(one.card)}")
    if not found:
        say("No voice is known yet: `dictate voice read`, then `dictate voice learn`.")


@app.command()
def use(
    version: Annotated[str, typer.Argument(help="As listed; `bundled` goes back to no voice.")],
    *,
    by: By = None,
) -> None:
    """Use another version of your voice, or none."""
    from dictate.settings import load_settings
    from dictate.voice.kept import use_voice

    settings = load_settings()
    use_voice(settings, version, who=by)
    say(f"{by or settings.trimmer} is heard with {version} from the next note on")


@app.command()
def measure(
    folder: Annotated[Path, typer.Argument(help="Folder of sound with a transcripts.tsv.")],
    *,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Measure your voice and the model for everybody, side by side."""
    from dictate.measuring.measure import measure as measure_on
    from dictate.measuring.measure_report import as_plain, as_table
    from dictate.measuring.tables import read_table
    from dictate.settings import load_settings
    from dictate.voice.kept import base_model, model_in_use

    settings = load_settings()
    both = dict.fromkeys((base_model(settings), model_in_use(settings, who=by)))
    reports = measure_on(read_table(folder), [str(path) for path in both])
    if as_json:
        print_json([as_plain(report) for report in reports])
    else:
        typer.echo(as_table(reports))


@app.command()
def forget(
    *,
    by: By = None,
    yes: Annotated[bool, typer.Option("--yes", help="Do not ask.")] = False,
) -> None:
    """Forget a voice with everything that was read for it; notes and their sound stay."""
    from dictate.settings import load_settings
    from dictate.voice import evening
    from dictate.voice.kept import forget_voice

    settings = load_settings()
    who = by or settings.trimmer
    if not yes:
        typer.confirm(f"Forget the voice of {who} and what was read for it?", abort=True)
    with evening.alone(settings, who):
        count = forget_voice(settings, who=who)
    say(f"Forgotten: {counted(count, 'version')} of the voice of {who}, and what was read for it")
