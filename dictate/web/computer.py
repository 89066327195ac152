"""What the page has to do with the computer it runs on: an icon on its desktop, the disks plugged in."""

import re
import shlex
import stat
import string
import sys
from pathlib import Path

import platformdirs

from dictate.errors import StoreError
from dictate.texts import gettext

_DISKS = ("/media/*", "/media/*/*", "/run/media/*/*", "/mnt/*", "/Volumes/*")
_ICON = Path(__file__).parent / "static" / "icon.svg"


def icon_path(*, system: str = sys.platform, desktop: Path | None = None) -> Path:
    """Where the icon is, or would be."""
    ending = {"win32": ".bat", "darwin": ".command"}.get(system, ".desktop")
    return (desktop or platformdirs.user_desktop_path()) / f"dictate{ending}"


def make_icon(
    *, system: str = sys.platform, desktop: Path | None = None, python: str = sys.executable
) -> Path:
    """Write the icon that opens the page without a terminal; it starts this very installation.

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


def plugged_in() -> list[Path]:
    """Where other disks are mounted, to be offered where a folder is asked for; on Windows the drives from D on."""
    if sys.platform == "win32":
        return [drive for letter in string.ascii_uppercase[3:] if (drive := Path(f"{letter}:\\")).exists()]  # fmt: skip
    found = (path for place in _DISKS for path in sorted(Path("/").glob(place.lstrip("/"))))
    return [path for path in found if path.is_mount()]
