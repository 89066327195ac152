"""Files that the program hands out are written whole, or not at all; never half over what was there."""

import os
import stat
import tempfile
from pathlib import Path

from dictate.errors import StoreError


def write_whole(path: Path, content: bytes | str) -> Path:
    """Write a file under another name beside its place, then put it there; return where it is.

    A device is written straight, and a pipe only when somebody reads from it.

    Raises:
        StoreError: it cannot be written; what stood there before is as it was.
    """
    data = content.encode("utf-8", "surrogateescape") if isinstance(content, str) else content
    try:
        if _is_special(path):
            _write_straight(path, data)
        else:
            _write_beside(Path(os.path.realpath(path)), data)
    except (OSError, ValueError) as error:
        said = getattr(error, "strerror", None) or str(error)
        raise StoreError(
            f"cannot be written: {said}", where=str(path), remedy="Name another file"
        ) from error
    return path


def _is_special(path: Path) -> bool:
    try:
        mode = path.stat().st_mode
    except OSError:
        return False
    if stat.S_ISDIR(mode):
        raise OSError(0, "it is a folder")
    return not stat.S_ISREG(mode)


def _write_straight(path: Path, data: bytes) -> None:
    # Without waiting: a pipe that nobody reads would hold the program for ever.
    descriptor = os.open(path, os.O_WRONLY | os.O_NONBLOCK)
    os.set_blocking(descriptor, True)
    with os.fdopen(descriptor, "wb") as out:
        out.write(data)


def _write_beside(place: Path, data: bytes) -> None:
    place.parent.mkdir(parents=True, exist_ok=True)
    descriptor, name = tempfile.mkstemp(dir=place.parent, prefix=".", suffix=".part")
    try:
        with os.fdopen(descriptor, "wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        Path(name).chmod(_mode(place))
        Path(name).replace(place)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _mode(place: Path) -> int:
    """The rights of the file that was there, else those of any new file."""
    try:
        return stat.S_IMODE(place.stat().st_mode)
    except OSError:
        mask = os.umask(0)
        os.umask(mask)
        return 0o666 & ~mask
