"""The `dictate` command: finds one module per command and turns errors into text and exit codes."""

import ast
import logging
import os
import sys
from collections.abc import Callable
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperCommand, TyperGroup

from dictate.errors import DictateError, StoreError

__all__ = ["COMMANDS", "EXIT_STOPPED", "app", "load_command", "run", "summary"]

COMMANDS = (
    "demo",
    "take_in",
    "listen",
    "review",
    "queue",
    "left_aside",
    "confirm",
    "amend",
    "reject",
    "undo",
    "measure_review",
    "animal",
    "visit_sheet",
    "follow_ups",
    "herd",
    "tally",
    "visit",
    "roster",
    "farm",
    "export",
    "import_record",
    "sql",
    "phrases",
    "explain",
    "hear",
    "model",
    "term",
    "voice",
    "backup",
    "restore",
    "forget_audio",
    "doctor",
)
"""Modules of `dictate.cli` in the order of `dictate --help`.

Each has a Typer `app`; its first docstring line is the command's summary, `_` in its name is `-`
in the command's.
"""

EXIT_STOPPED = 130
"""Ctrl-C, as shells count it."""


class OneModulePerCommand(TyperGroup):
    """Loads a command's module only when it is called: the recogniser takes a second to load."""

    def list_commands(self, ctx: Any) -> list[str]:
        return [name.replace("_", "-") for name in COMMANDS]

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        return load_command(cmd_name) if cmd_name in self.list_commands(ctx) else None

    def format_help(self, ctx: Any, formatter: Any) -> None:
        known: dict[str, Any] = {
            name: TyperCommand(name, help=summary(name)) for name in self.list_commands(ctx)
        }
        shown = _Listed(name=self.name, help=self.help, params=self.params, commands=known)
        shown.rich_markup_mode = self.rich_markup_mode
        shown.format_help(ctx, formatter)


class _Listed(TyperGroup):
    def list_commands(self, ctx: Any) -> list[str]:
        return list(self.commands)


def load_command(command: str) -> Any:
    """The command itself, from its module."""
    app: typer.Typer = import_module(f"dictate.cli.{command.replace('-', '_')}").app
    app._add_completion = False  # noqa: SLF001 (else every command offers to install completion)
    loaded = typer.main.get_command(app)
    loaded.name = command
    return loaded


def summary(command: str) -> str:
    """The first line of a command's module, read without loading it."""
    spec = find_spec(f"dictate.cli.{command.replace('-', '_')}")
    if spec is None or spec.origin is None:
        return ""
    text = ast.get_docstring(ast.parse(Path(spec.origin).read_text(encoding="utf-8"))) or ""
    return text.partition("\n")[0]


app = typer.Typer(
    cls=OneModulePerCommand,
    invoke_without_command=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)


@app.callback()
def main(
    context: typer.Context,
    *,
    verbose: Annotated[bool, typer.Option("--verbose", help="Say on stderr what is done.")] = False,
) -> None:
    """Spoken notes at the chute to a reviewed herd record. Works offline.

    Without a command it opens the page, where everything can be done.
    """
    logging.basicConfig(
        level=logging.INFO if verbose else logging.WARNING,
        format="%(levelname)s %(name)s %(message)s",
        stream=sys.stderr,
    )
    if context.invoked_subcommand is None:
        import_module("dictate.cli.review").open_page()


def run() -> None:
    """Entry point of the console script."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):  # names of files may hold bytes that are no letters
            stream.reconfigure(errors="backslashreplace")
    code = _code_of(app)
    try:
        sys.stdout.flush()
    except OSError as error:
        code = code or _told(error, "the output")
        # What could not be written must not be tried again when the interpreter ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    if code:
        sys.exit(code)


def _code_of(work: Callable[..., object]) -> int:
    """Do it, and tell what went wrong in one line; the exit code."""
    try:
        work(standalone_mode=True)
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else int(stop.code is not None)
    except DictateError as error:
        typer.echo(f"dictate: {error.line}", err=True)
        return error.exit_code
    except OSError as error:
        # What the computer refuses is no fault of the program: say it in the computer's words.
        return _told(error, "the output" if error.filename is None else str(error.filename))
    return 0


def _told(error: OSError, where: str) -> int:
    typer.echo(f"dictate: {where}: {error.strerror or error}. Name another place", err=True)
    return StoreError.exit_code
