"""The `dictate` command: finds the module of a command and turns errors into text and exit codes."""

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

COMMANDS = {
    "demo": "demo",
    "take_in": "take_in",
    "listen": "hear",
    "review": "queue",
    "queue": "queue",
    "left_aside": "entries",
    "confirm": "entries",
    "amend": "entries",
    "reject": "entries",
    "undo": "entries",
    "measure_review": "queue",
    "animal": "places",
    "visit_sheet": "herd",
    "follow_ups": "follow_ups",
    "herd": "herd",
    "tally": "herd",
    "visit": "places",
    "roster": "roster",
    "past": "past",
    "farm": "places",
    "export": "record",
    "import_record": "record",
    "sql": "record",
    "phrases": "words",
    "explain": "words",
    "hear": "hear",
    "model": "doctor",
    "term": "words",
    "voice": "voice",
    "backup": "backup",
    "restore": "backup",
    "forget_audio": "backup",
    "doctor": "doctor",
}
"""Command to its module of `dictate.cli`, in the order of `dictate --help`; `_` in its name is `-` in the command's.

A module of one command, or of one family of them, has a Typer `app`, and its first docstring line is
the summary. In the others a command is a function of that name, whose docstring is its help, or a
family of that name.
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
    name = command.replace("-", "_")
    module = import_module(f"dictate.cli.{COMMANDS[name]}")
    found = getattr(module, "app", None) or getattr(module, name)
    app = found if isinstance(found, typer.Typer) else typer.Typer()
    if app is not found:
        app.command()(found)
    app._add_completion = False  # noqa: SLF001 (else every command offers to install completion)
    loaded = typer.main.get_command(app)
    loaded.name = command
    return loaded


def summary(command: str) -> str:
    """The first line of a command's help, read without loading its module."""
    name = command.replace("-", "_")
    spec = find_spec(f"dictate.cli.{COMMANDS[name]}")
    if spec is None or spec.origin is None:
        return ""
    module = ast.parse(Path(spec.origin).read_text(encoding="utf-8"))
    return (_help_of(module, name) or ast.get_docstring(module) or "").partition("\n")[0]


def _help_of(module: ast.Module, name: str) -> str | None:
    """Docstring of the function, or `help` of the family, that a module calls so."""
    for part in module.body:
        if isinstance(part, ast.FunctionDef) and part.name == name:
            return ast.get_docstring(part)
        if isinstance(part, ast.Assign) and isinstance(part.value, ast.Call):
            called = [target.id for target in part.targets if isinstance(target, ast.Name)]
            given = [one.value for one in part.value.keywords if one.arg == "help"]
            if called == [name] and given and isinstance(given[0], ast.Constant):
                return str(given[0].value)
    return None


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
        import_module("dictate.cli.queue").open_page()


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
