"""Learn your own voice, so that you are heard better than a stranger."""

import datetime as dt
import shutil
from pathlib import Path
from typing import Annotated

import typer

from dictate.cli.common import Bar, Json, print_json, say

app = typer.Typer(help=__doc__, no_args_is_help=True)


@app.callback()
def _voice() -> None:
    """A group, also while it has one command."""


class _Shown:
    """A bar that is told how far the work is."""

    def __init__(self, bar: Bar) -> None:
        self._bar = bar

    def stage(self, name: str, total: int) -> None:
        self._bar.stage(name, total)

    def at(self, done: int) -> None:
        for task in self._bar.task_ids:
            self._bar.update(task, completed=done)


@app.command()
def learn(
    folder: Annotated[Path, typer.Argument(help="Folder of sound with a transcripts.tsv.")],
    *,
    out: Annotated[Path, typer.Option(help="New folder for the model that knows the voice.")],
    split: Annotated[str | None, typer.Option(help="Only rows of this split.")] = None,
    speaker: Annotated[str | None, typer.Option(help="Only rows of this speaker.")] = None,
    as_json: Json = False,
) -> None:
    """Learn a voice from recordings with their words."""
    from dictate.decoder.model_files import bundled_model  # noqa: PLC0415
    from dictate.demo.script import demo_folder  # noqa: PLC0415
    from dictate.settings import load_settings  # noqa: PLC0415
    from dictate.voice.learning import Plan  # noqa: PLC0415 (slow to load)
    from dictate.voice.learning import learn as learn_voice  # noqa: PLC0415
    from dictate.voice.model_folder import check_target, put_in_place  # noqa: PLC0415
    from dictate.voice.needs import need_torch  # noqa: PLC0415
    from dictate.voice.recordings import of_folder  # noqa: PLC0415
    from dictate.voice.report import as_plain, in_words  # noqa: PLC0415

    need_torch()
    check_target(out)
    settings = load_settings()
    base = settings.model or bundled_model()
    material = of_folder(folder, split=split, speaker=speaker)
    plan = Plan(
        name=speaker or settings.trimmer, base=base, now=base,
        work=out.with_name(f"{out.name}.learning"), others=tuple(sorted(demo_folder().glob("*.opus"))),
        today=dt.datetime.now(dt.UTC).date(),
    )  # fmt: skip
    with Bar() as bar:
        learnt = learn_voice(material, plan, progress=_Shown(bar))
    put_in_place(learnt.folder, out)
    shutil.rmtree(plan.work, ignore_errors=True)
    if as_json:
        print_json(as_plain(learnt) | {"model": str(out)})
        return
    for line in in_words(learnt):
        say(line)
    typer.echo(str(out))
