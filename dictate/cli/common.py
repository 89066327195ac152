"""What several commands share: options, the open database, and printing."""

import datetime as dt
import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from pydantic import BaseModel

if TYPE_CHECKING:  # a command that needs no database need not wait for it
    from rich.table import Table
    from sqlmodel import Session

    from dictate.settings import Settings
    from dictate.store.database import Database
    from dictate.store.tables import Farm as FarmTable
    from dictate.store.tables import Visit
    from grammar import Roster

_REFUSED_SHOWN = 10
_FIRST_YEAR, _LAST_YEAR = 1950, 2150

Farm = Annotated[str | None, typer.Option("--farm", help="Farm; else the one in the settings.")]
Day = Annotated[str | None, typer.Option("--date", help="Day of the visit, e.g. 2026-03-02.")]
Json = Annotated[bool, typer.Option("--json", help="Print JSON.")]
By = Annotated[
    str | None, typer.Option("--by", help="Who decides; else the trimmer in the settings.")
]
Sure = Annotated[
    bool, typer.Option("--sure", help="An animal that the roster lacks may enter the record.")
]
Version = Annotated[
    int | None, typer.Option("--version", help="Only if the entry still has this version.")
]


@contextmanager
def opened() -> Iterator["tuple[Database, Settings]"]:
    """The settings and the open database of the home folder."""
    from dictate.settings import load_settings
    from dictate.store.database import open_database

    settings = load_settings()
    with open_database(settings.database_url) as database:
        yield database, settings


def day(text: str | None) -> dt.date | None:
    """Read an option that is a day: one that a visit can have."""
    if text is None:
        return None
    try:
        read = dt.date.fromisoformat(text)
    except ValueError:
        read = None
    if read is None or not _FIRST_YEAR <= read.year <= _LAST_YEAR:
        shown = text if len(text) < 40 else f"{text[:40]}…"
        raise typer.BadParameter(f"{shown!r} is not a day such as 2026-03-02")
    return read


def visit_asked(
    session: "Session", settings: "Settings", farm: str | None, date: str | None
) -> "Visit":
    """The visit that `--farm` and `--date` mean: the newest one that fits.

    Raises:
        NotFoundError: no visit fits.
    """
    from dictate.store.visits import find_visit

    return find_visit(session, farm=farm or settings.farm, date=day(date))


def farm_asked(session: "Session", settings: "Settings", farm: str | None) -> "FarmTable":
    """The farm that `--farm` means, else the one in the settings, else the only one there is.

    Raises:
        NotFoundError: there is none, or several and none was named.
    """
    from dictate.store.farms import farm_meant

    return farm_meant(session, farm or settings.farm)


def farm_named(settings: "Settings", farm: str | None) -> str:
    """The name that `--farm` gives, else the one in the settings.

    Raises:
        BadParameter: neither does.
    """
    if name := farm or settings.farm:
        return name
    raise typer.BadParameter("name the farm with --farm, or set `farm` in settings.toml")


def herd_of(path: Path) -> "Roster":
    """The herd of a roster file, as hearing and explaining take it; refused lines are named.

    Raises:
        RosterError: the file cannot be read, or does not say which column is what.
    """
    from dictate.exchange.roster import NAMING, read_roster, roster_from

    read = read_roster(path, only=NAMING)
    for one in read.refused[:_REFUSED_SHOWN]:
        say(f"{path}: {one.said}")
    if len(read.refused) > _REFUSED_SHOWN:
        say(f"{path}: and {len(read.refused) - _REFUSED_SHOWN} more lines that are no animals")
    return roster_from(read.lines)


def print_json(value: Any) -> None:
    """One JSON document on stdout, letters of all scripts as they are."""
    typer.echo(json.dumps(value, ensure_ascii=False, indent=1, default=_plain))


def put_out(file: Path, content: bytes | str) -> None:
    """Write a file whole and say where it is; `-` is the standard output, with nothing else on it.

    Raises:
        StoreError: it cannot be written.
    """
    if file == Path("-"):
        data = content.encode() if isinstance(content, str) else content
        typer.echo(data, nl=False)  # bytes: no system changes their ends of lines
    else:
        from dictate.written import write_whole

        typer.echo(write_whole(file, content))


def _plain(value: Any) -> Any:
    if isinstance(value, BaseModel):
        return value.model_dump(mode="json")
    if is_dataclass(value):
        return {field.name: getattr(value, field.name) for field in fields(value)}
    return str(value)


def draw(*parts: Any) -> None:
    """A table, or other parts that Rich draws, on stdout."""
    from rich.console import Console

    Console(highlight=False, soft_wrap=False).print(*parts)


def add_plain(table: "Table", *cells: str) -> None:
    """Add a row of plain text: heard words such as `[unk]` are not the terminal's markup."""
    from rich.text import Text

    table.add_row(*map(Text, cells))


def say(text: str) -> None:
    """A message for the person, on stderr."""
    typer.echo(text, err=True)


def say_what_is_kept(settings: "Settings") -> None:
    """Warn that nothing can be listened to later, where the settings keep no sound."""
    if settings.keep == "none":
        say(
            "No sound is kept (`keep` in settings.toml): each note's sound goes once it was heard, "
            "so nothing can be listened to in the evening or heard again."
        )
