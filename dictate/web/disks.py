"""Disks and sticks that are plugged in, to be offered where a folder is asked for."""

import string
import sys
from pathlib import Path

_PLACES = ("/media/*", "/media/*/*", "/run/media/*/*", "/mnt/*", "/Volumes/*")


def plugged_in() -> list[Path]:
    """Where other disks are mounted; on Windows the drives from D on."""
    if sys.platform == "win32":
        return [drive for letter in string.ascii_uppercase[3:] if (drive := Path(f"{letter}:\\")).exists()]  # fmt: skip
    found = (path for place in _PLACES for path in sorted(Path("/").glob(place.lstrip("/"))))
    return [path for path in found if path.is_mount()]
