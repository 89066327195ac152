"""An icon on the desktop that opens the page, so that nobody needs a terminal for it."""

import re
import shlex
import stat
import sys
from pathlib import Path

import platformdirs

from dictate.errors import StoreError
from dictate.texts import gettext

_ICON = Path(__file__).parent / "static" / "icon.svg"


def icon_path(*, system: str = sys.platform, desktop: Path | None = None) -> Path:
    """Where the icon is, or would be."""
    ending = {"win32": ".bat", "darwin": ".command"}.get(system, ".desktop")
    return (desktop or platformdirs.user_desktop_path()) / f"dictate{ending}"


def make_icon(
    *, system: str = sys.platform, desktop: Path | None = None, python: str = sys.executable
) -> Path:
    """Write the icon; it starts this very installation.

    Linux gets a desktop entry (freedesktop.org Desktop Entry 1.5), Windows a batch file, macOS a
    command file.

    Raises:
        StoreError: the desktop cannot be written.
    """
    path = icon_path(system=system, desktop=desktop)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(_content(system, python), encoding="utf-8")
        path.chmod(path.stat().st_mode | stat.S_IXUSR)
    except OSError as error:
        raise StoreError(
            gettext("the icon cannot be written: %(why)s", why=error.strerror or error),
            where=str(path),
            remedy=gettext("Make it by hand, or go on without one"),
        ) from error
    return path


def _content(system: str, python: str) -> str:
    if system == "win32":
        return f'@echo off\r\n"{python}" -m dictate\r\nif errorlevel 1 pause\r\n'
    if system == "darwin":
        return f"#!/bin/sh\nexec {shlex.quote(python)} -m dictate\n"
    quoted = re.sub(r'(["`$\\])', r"\\\1", python)
    return (
        "[Desktop Entry]\nType=Application\nName=dictate\nComment=Hoof notes to a herd record\n"
        f'Exec="{quoted}" -m dictate\nIcon={_ICON}\nTerminal=true\nCategories=Office;\n'
    )
