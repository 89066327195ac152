"""Files are written whole, or not at all, and stay when the power goes; never half over what was there."""

import errno
import hashlib
import os
import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
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
    with written_beside(place) as part:
        part.write_bytes(data)


@contextmanager
def written_beside(place: Path) -> Iterator[Path]:
    """A file beside a place for the block to fill; it goes there whole once the block is done."""
    make_folder(place.parent)
    descriptor, name = tempfile.mkstemp(dir=place.parent, prefix=".", suffix=".part")
    os.close(descriptor)
    part = Path(name)
    try:
        yield part
        part.chmod(_mode(place))
        with part.open("rb+") as file:
            os.fsync(file.fileno())
        put_whole(part, place)
    except BaseException:
        part.unlink(missing_ok=True)
        raise


def put_whole(part: Path, place: Path) -> None:
    """Give a file that was synced its name, so that a power cut leaves the old one or this one."""
    part.replace(place)
    sync_folder(place.parent)


def make_folder(folder: Path) -> None:
    """Make a folder and those above it, so that they are still there after a power cut."""
    missing = [one for one in (folder, *folder.parents) if not one.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    for one in missing:
        sync_folder(one.parent)


def sync_folder(folder: Path) -> None:
    """Make the names in a folder sure."""
    if os.name != "posix":  # elsewhere a folder cannot be opened
        return
    try:
        handle = os.open(folder, os.O_RDONLY)
    except PermissionError:  # one that may be written and not read
        return
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.ENOTSUP):  # some shares cannot
            raise
    finally:
        os.close(handle)


def _mode(place: Path) -> int:
    """The rights of the file that was there, else those of any new file."""
    try:
        return stat.S_IMODE(place.stat().st_mode)
    except OSError:
        mask = os.umask(0)
        os.umask(mask)
        return 0o666 & ~mask


def hash_file(path: Path) -> str:
    """SHA-256 of a file's bytes, hexadecimal."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
