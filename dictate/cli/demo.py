"""Run a day at an invented farm from sound files to a confirmed record."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dictate.cli.common import Json, add_plain, draw, print_json
from dictate.cli.progress import Bar
from dictate.entry.wording import day, say_entry

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rich.console import RenderableType
    from rich.table import Table

    from dictate.demo.running import ClipResult, DemoResult

app = typer.Typer()


@app.command(help=__doc__)
def demo(
    *,
    audio: Annotated[
        Path | None,
        typer.Option(help="Folder of the clips; else those that come with the program."),
    ] = None,
    out: Annotated[
        Path | None, typer.Option(help="Folder to write to; else `demo` in the home folder.")
    ] = None,
    model: Annotated[Path | None, typer.Option(help="Folder of a Vosk model.")] = None,
    as_json: Json = False,
) -> None:
    from dictate.demo.running import run_demo
    from dictate.demo.script import demo_folder
    from dictate.hearing import open_engine
    from dictate.settings import load_settings

    settings = load_settings()
    with Bar() as bar:
        result = run_demo(
            audio or demo_folder(),
            out or settings.home / "demo",
            settings,
            lambda roster: open_engine(model or settings.model, roster=roster),
            watcher=bar,
        )
    if as_json:
        print_json(result)
    else:
        for part in _report(result):
            draw(part)


def _report(result: "DemoResult") -> "Iterator[RenderableType]":
    """The clips before review, the record after it, and honest counts."""
    from rich.text import Text

    yield Text(
        f"\n1. Heard by {result.model}, as it waited in the queue before anybody looked"
        " ([unk]: something that is no word of the trade)"
    )
    yield _clips(result)
    yield Text("\n2. Confirmed after the scripted review: the herd record")
    yield _confirmed(result)
    yield Text("\n3. What is due")
    yield _follow_ups(result)
    yield Text(f"\n{_counts(result)}")
    yield Text(f"\nDatabase     {result.database}\nVisit sheet  {result.sheet}", no_wrap=True)


def _clips(result: "DemoResult") -> "Table":
    from rich.table import Column, Table

    clip_column = Column("clip", overflow="fold")
    table = Table(clip_column, "heard", "read as", "look, because", "right", show_lines=True)
    for clip in result.clips:
        marks = [mark.what for entry in clip.entries for mark in entry.mark_details]
        add_plain(
            table,
            clip.clip.rpartition(".")[0],
            clip.heard or "(nothing)",
            "\n".join(map(say_entry, clip.entries)),
            "\n".join(marks),
            _right(clip),
        )
    return table


def _right(clip: "ClipResult") -> str:
    if not clip.wanted:
        return "left alone" if clip.sites_right else "NO"
    return "yes" if clip.exact == clip.wanted == len(clip.entries) else "NO"


def _confirmed(result: "DemoResult") -> "Table":
    from rich.table import Table

    table = Table("entry", "animal, findings, actions, follow-ups")
    for number, values in result.confirmed:
        add_plain(table, str(number), say_entry(values))
    return table


def _follow_ups(result: "DemoResult") -> "Table":
    from rich.table import Table

    table = Table("day", "animal", "what", "where")
    for row in sorted(result.follow_ups, key=lambda row: (row.due_on is None, row.due_on)):
        when = day(row.due_on) if row.due_on else "no date said"
        add_plain(table, when, row.animal, row.kind, result.about[row.id])
    return table


def _counts(result: "DemoResult") -> str:
    right = sum(clip.sites_right for clip in result.spoken)
    alone = sum(clip.sites_right for clip in result.empty)
    unmarked = [entry for clip in result.clips for entry in clip.entries if not entry.marks]
    return (
        f"Before review {result.exact} of {result.wanted} entries were exactly right, "
        f"and {right} of {len(result.spoken)} clips gave the right animal, foot and lesion.\n"
        f"From {alone} of {len(result.empty)} clips of talk or noise nothing was recorded; "
        f"{len(unmarked)} entries bore no mark, "
        f"{_wrong_unmarked(result)} of them in clips that came out wrong.\n"
        f"In review {result.replayed.confirmed_as_read} entries were confirmed as read, "
        f"{result.replayed.amended} corrected first, {result.replayed.rejected} rejected.\n"
        f"The whole day took {result.seconds:.0f} seconds."
    )


def _wrong_unmarked(result: "DemoResult") -> int:
    """The dangerous ones: nothing told the reviewer to look."""
    return sum(
        not entry.marks for clip in result.clips if _right(clip) == "NO" for entry in clip.entries
    )
