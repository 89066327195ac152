"""The evening: the queue in the terminal, the page in the browser, and how much was corrected."""

import sys
from typing import TYPE_CHECKING, Annotated

import typer

from dictate.cli.common import (
    By,
    Day,
    Farm,
    Json,
    add_plain,
    day,
    draw,
    opened,
    print_json,
    say,
    visit_asked,
)
from dictate.entry.wording import counted, say_entry

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rich.table import Table

    from dictate.review.waiting import WaitingEntry


def review(
    *,
    lan: Annotated[
        bool, typer.Option("--lan", help="Serve the local network too, for a phone with the code.")
    ] = False,
    port: Annotated[int, typer.Option(min=0, max=65_535, help="Port; 0 takes a free one.")] = 0,
    browser: Annotated[bool, typer.Option(help="Open the page in the browser.")] = True,
) -> None:
    """Go through the evening's queue on a page in the browser; --lan lets a phone in too."""
    open_page(lan=lan, port=port, browser=browser)


def open_page(*, lan: bool = False, port: int = 0, browser: bool = True) -> None:
    """Serve the page and show it, until Ctrl-C; also what `dictate` does without a command."""
    from dictate.web.serve import How, serve

    with opened() as (database, settings):
        serve(database, settings, How(port=port, lan=lan, browser=browser), say=typer.echo)


def queue(
    *,
    farm: Farm = None,
    date: Day = None,
    decide: Annotated[
        bool, typer.Option("--decide", help="One card at a time, with a key for everything.")
    ] = False,
    as_json: Json = False,
    by: By = None,
) -> None:
    """List the entries that wait for a person, riskiest first, or go through them."""
    from dictate.review.waiting import waiting

    with opened() as (database, settings):
        with database.reading() as session:
            visit = visit_asked(session, settings, farm, date) if farm or date else None
            visit_id = visit.id if visit else None
            entries = waiting(session, visit_id)
        if decide:
            from dictate.cli.deciding import go_through
            from dictate.cli.evening import Evening

            evening = Evening(
                database, settings, by or settings.trimmer, visit_id, _key, _line, draw
            )
            go_through(evening)
        elif as_json:
            print_json(entries)
        elif entries:
            draw(_queue_table(entries))
        else:
            typer.echo("Nothing waits.", err=True)


def _queue_table(entries: "Iterable[WaitingEntry]") -> "Table":
    """The queue: number, clip, heard words, reading, and why it needs a look."""
    from rich.table import Column, Table

    clip = Column("clip", overflow="fold")  # the end of a file's name tells it from the next
    table = Table("entry", clip, "heard", "reading", "look, because", show_lines=True)
    for entry in entries:
        why = "\n".join(mark.what for mark in entry.values.mark_details)
        add_plain(table, str(entry.id), entry.clip, entry.heard, say_entry(entry.values), why)
    return table


def _key(prompt: str) -> str:
    """One key; from a file or a pipe, a line."""
    typer.echo(prompt, nl=False)
    if not sys.stdin.isatty():
        return _read_line(at_end="q")
    pressed = typer.getchar()
    typer.echo("" if pressed in "\r\n" else pressed)
    return "" if pressed in "\r\n" else pressed


def _line(prompt: str, there: str) -> str:
    """A line, to be edited where the terminal can do so."""
    if not sys.stdin.isatty():
        typer.echo(prompt, nl=False)
        return _read_line(at_end="")
    try:
        import readline
    except ImportError:
        return input(f"{prompt}[{there}] " if there else prompt) or there
    readline.set_startup_hook(lambda: readline.insert_text(there))
    try:
        return input(prompt)
    finally:
        readline.set_startup_hook(None)


def _read_line(*, at_end: str) -> str:
    line = sys.stdin.readline()
    typer.echo(line.rstrip("\n"))
    return line.rstrip("\n") if line else at_end


def measure_review(
    *,
    since: Annotated[str | None, typer.Option("--since", help="First day that counts.")] = None,
    as_json: Json = False,
) -> None:
    """Report how much had to be corrected, visit by visit."""
    from dictate.review.measure import reviews_by_visit

    with opened() as (database, _settings), database.reading() as session:
        reviews = reviews_by_visit(session, since=day(since))
    if as_json:
        print_json(reviews)
        return
    for one in reviews:
        rate = "–" if one.per_note is None else f"{one.per_note:.2f}"
        typer.echo(
            f"{one.date}  {one.farm}: {counted(one.notes, 'note')}, {one.decided} of {counted(one.entries, 'entry', 'entries')} decided, "
            f"{one.amended} corrected, {one.rejected} discarded, {rate} a note"
        )
    if not reviews:
        say("No visits yet.")
