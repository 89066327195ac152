"""The `dictate` command: mounts one module per command and turns errors into text and exit codes."""

import sys
from importlib import import_module

import typer

from dictate.errors import DictateError

__all__ = ["app", "run"]

COMMANDS: tuple[str, ...] = ()
"""Modules of `dictate.cli`, in the order of `dictate --help`; each has a Typer `app`."""

app = typer.Typer(
    help="Spoken notes at the chute to a reviewed herd record. Works offline.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
for _name in COMMANDS:
    app.add_typer(import_module(f"dictate.cli.{_name}").app)


def run() -> None:
    """Entry point of the console script."""
    try:
        app()
    except DictateError as error:
        typer.echo(f"dictate: {error.line}", err=True)
        sys.exit(error.exit_code)
