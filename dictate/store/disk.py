"""What SQLite's "disk I/O error" means: most often a full disk, on which it could not grow a file."""

import shutil
from pathlib import Path

_FULL = 2**20
"""Bytes; with less than this free, room is what is missing."""


def io_error_remedy(place: Path) -> str:
    """What to do about a disk I/O error in a file or folder."""
    there = next(folder for folder in (place, *place.absolute().parents) if folder.exists())
    if shutil.disk_usage(there).free < _FULL:
        return "The disk is full. Free some space and run the same command again; nothing is lost"
    return "The disk does not answer as it should: copy what is on it, and run `dictate doctor`"
