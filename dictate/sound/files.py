"""Sound files on disk: when one has stopped growing, whether it can be read, and whether it is whole.

A decoder that reaches the end of a half-copied WAV or Ogg file simply stops. The checks of the end read
the few bytes that say where the end should have been.
"""

import stat
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from dictate.errors import SoundError

_UNFINISHED = (".part", ".partial", ".tmp", ".crdownload", ".download")
"""Suffixes of files that some program is still writing."""
_QUIET_SECONDS = 3.0
_EVERY_SECONDS = 1.0
_Version = tuple[int, int]
"""Size in bytes and time of the last change in nanoseconds."""
_OGG_TAIL_BYTES = 65_536 + 512
"""An Ogg page has at most 65,307 bytes (RFC 3533)."""
_OGG_END_OF_STREAM = 0x04
_STREAMED_SIZES = frozenset({0, 0xFFFFFFFF, 0x7FFFFFFF, 0x7FFFF000})
"""WAV data sizes that writers leave when they cannot go back to the header."""


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


def check_readable(path: Path) -> None:
    where = str(path)
    try:
        kind = path.stat().st_mode
        if stat.S_ISDIR(kind):
            raise SoundError(
                "is a folder, not a sound file", where=where, remedy="Name the files in it"
            )
        if not stat.S_ISREG(kind):  # a pipe or a device may never end
            raise SoundError("is not a file", where=where, remedy="Name a sound file")
        with path.open("rb") as file:
            empty = not file.read(1)
    except FileNotFoundError as error:
        raise SoundError(
            "is not there", where=where, remedy="Check the name, or plug the recorder in"
        ) from error
    except OSError as error:
        raise SoundError(
            f"cannot be read ({error.strerror})",
            where=where,
            remedy="Check its permissions and the disk or card it is on",
        ) from error
    if empty:
        raise SoundError(
            "is empty", where=where, remedy="Copy it again; the recording may not have finished"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class FileEnd:
    """What the bytes say about the file's end."""

    missing: bool
    """True when the end is certainly missing; False also when the bytes cannot tell."""
    length_declared: bool
    """True when the file states its true length (then too few samples mean damage)."""


def file_end(path: Path) -> FileEnd:
    """Judge whether the end of a sound file is missing."""
    with path.open("rb") as file:
        head = file.read(4096)
    if head[:4] in (b"RIFF", b"RF64") and head[8:12] == b"WAVE":
        return FileEnd(missing=_wav_cut(path), length_declared=False)
    if head[:4] == b"OggS":
        return FileEnd(missing=_ogg_cut(path), length_declared=True)
    if head[:3] == b"ID3" or head[:1] == b"\xff":
        return FileEnd(missing=False, length_declared=b"Xing" in head or b"Info" in head)
    if head[4:8] == b"ftyp":
        return FileEnd(missing=_mp4_cut(path), length_declared=True)
    return FileEnd(missing=False, length_declared=head[:4] == b"fLaC")


def _wav_cut(path: Path) -> bool:
    size = path.stat().st_size
    with path.open("rb") as file:
        at = 12
        while at + 8 <= size:
            file.seek(at)
            header = file.read(8)
            length = int.from_bytes(header[4:8], "little")
            if header[:4] == b"data":
                return length not in _STREAMED_SIZES and at + 8 + length > size
            at += 8 + length + length % 2
    return False


def _ogg_cut(path: Path) -> bool:
    with path.open("rb") as file:
        file.seek(max(0, path.stat().st_size - _OGG_TAIL_BYTES))
        tail = file.read()
    last = tail.rfind(b"OggS")
    if last < 0 or last + 27 > len(tail):
        return True
    if not tail[last + 5] & _OGG_END_OF_STREAM:
        return True
    segments = tail[last + 26]
    table = tail[last + 27 : last + 27 + segments]
    return last + 27 + segments + sum(table) > len(tail)


def _mp4_cut(path: Path) -> bool:
    """True when a top-level box runs past the end or the index (`moov`) is absent."""
    size = path.stat().st_size
    found = set()
    with path.open("rb") as file:
        at = 0
        while at + 8 <= size:
            file.seek(at)
            header = file.read(16)
            length = int.from_bytes(header[:4], "big")
            if length == 1:
                length = int.from_bytes(header[8:16], "big")
            elif length == 0:
                length = size - at
            found.add(header[4:8])
            if length < 8 or at + length > size:
                return True
            at += length
    return b"moov" not in found
