"""Follow folders: give each file once it has stopped growing, and again when it changed."""

import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

_UNFINISHED = (".part", ".partial", ".tmp", ".crdownload", ".download")
"""Suffixes of files that some program is still writing."""

_QUIET_SECONDS = 3.0
_EVERY_SECONDS = 1.0

_Version = tuple[int, int]
"""Size in bytes and time of the last change in nanoseconds."""


def settled_files(
    find: Callable[[], Sequence[Path]],
    *,
    sleep: Callable[[float], None] = time.sleep,
    clock: Callable[[], float] = time.monotonic,
) -> Iterator[list[Path]]:
    """Yield, for ever, the files that are ready to be read, some at a time.

    A file is ready when its size and time have not changed for three seconds: phones and memory
    cards copy in pieces. A copy that stopped half-way is given as it is, and once more when it
    grows again.

    Args:
        find: Lists the files there are now.
        sleep: Waits; tests give their own.
        clock: Seconds that only grow.
    """
    seen: dict[Path, tuple[_Version, float]] = {}
    given: dict[Path, _Version] = {}
    while True:
        now = clock()
        versions = {path: version for path in find() if (version := _version(path))}
        seen = {
            path: seen[path] if path in seen and seen[path][0] == version else (version, now)
            for path, version in versions.items()
        }
        ready = [
            path
            for path, (version, since) in seen.items()
            if given.get(path) != version and now - since >= _QUIET_SECONDS
        ]
        if ready:
            given |= {path: versions[path] for path in ready}
            yield ready
        sleep(_EVERY_SECONDS)


def _version(path: Path) -> _Version | None:
    """Size and time; None for a file that is gone, empty so far, or marked as unfinished."""
    if path.name.startswith(".") or path.suffix.lower() in _UNFINISHED:
        return None
    try:
        stat = path.stat()
    except OSError:
        return None
    return (stat.st_size, stat.st_mtime_ns) if stat.st_size else None
