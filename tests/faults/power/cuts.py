"""What a disk may hold after a power cut at any moment, from a program's noted writes.

The model, stricter than the usual file systems: what was written to a file is sure once that file was
synced; of what was written since, any sectors of 512 bytes may be there, in any order, or none. A new
name, a rename or a removal is sure once its folder was synced, a new file's own name also once the
file was; before that any number of the newest changes of a folder may be missing, independently of
other folders. Sources: the assumptions of SQLite's own crash tests (sqlite.org/atomiccommit.html and
"How SQLite Is Tested", from memory) and POSIX `fsync`, which promises no more.
"""

import os
import random
import subprocess
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

__all__ = ["Disk", "Noted", "moments", "noted_day", "read_notes"]

SECTOR = 512
_HEAD = 25


@dataclass(frozen=True, slots=True)
class Noted:
    """One thing done to a file or folder."""

    what: str
    """C made, W wrote, T cut, S synced, D synced a folder, R renamed, L linked, U removed, M made a folder."""
    file: int
    place: int
    data: bytes


def noted_day(home: Path, script: Path, build: Path) -> list[Noted]:
    """Run a script with a home folder, and return all that it did there, in order."""
    shim, log = build / "writes.so", build / "log"
    source = Path(__file__).with_name("writes.c")
    subprocess.run(["cc", "-shared", "-fPIC", "-O1", "-w", "-o", shim, source, "-ldl"], check=True)
    home.mkdir()
    root = Path(__file__).parents[3]
    told = {"LD_PRELOAD": str(shim), "POWER_HOME": str(home), "POWER_LOG": str(log)}
    subprocess.run(
        [sys.executable, str(script), str(home)],
        check=True, env={**os.environ, **told, "PYTHONPATH": str(root)}, stdout=subprocess.DEVNULL,
    )  # fmt: skip
    return list(read_notes(log.read_bytes()))


def read_notes(log: bytes) -> Iterator[Noted]:
    """Take the notes of `writes.c` apart."""
    at = 0
    while at < len(log):
        number, place, length = (
            int.from_bytes(log[at + start : at + start + 8], sys.byteorder) for start in (1, 9, 17)
        )
        yield Noted(chr(log[at]), number, place, log[at + _HEAD : at + _HEAD + length])
        at += _HEAD + length


@dataclass(slots=True)
class _File:
    sure: bytearray = field(default_factory=bytearray)
    open: list[Noted] = field(default_factory=list)
    """Written since the last sync."""


@dataclass(slots=True)
class _Name:
    """A change of a folder that is not sure yet: a name that now means a file, a folder or nothing."""

    path: str
    file: int | None
    folder: bool = False
    was: str = ""
    """The name that a rename took away."""


class Disk:
    """A disk that notes are played to, and what it may hold when the power goes."""

    def __init__(self) -> None:
        self._files: dict[int, _File] = {}
        self._names: dict[str, int] = {}
        """As the program sees them."""
        self._sure: dict[str, int | None] = {}
        """Path to file; None for a folder."""
        self._open: dict[str, list[_Name]] = {}
        """Folder to its changes that are not sure."""
        self._keys: dict[int, int] = {}
        """Number of a file now to our own, because numbers are given again."""

    def play(self, one: Noted) -> None:
        """Do one thing."""
        key = self._keys.get(one.file)
        if one.what == "C":
            self._made(one)
        elif one.what in "WT" and key is not None:
            self._files[key].open.append(one)
        elif one.what == "S" and key is not None:
            self._synced(key)
        elif one.what in "DMURL":
            self._name(one.what, one.data.decode("utf-8", "surrogateescape"))

    def _made(self, one: Noted) -> None:
        key = self._keys[one.file] = len(self._files)
        self._files[key] = _File()
        path = one.data.decode("utf-8", "surrogateescape")
        self._names[path] = key
        self._change(_Name(path, key))

    def _name(self, what: str, text: str) -> None:
        if what == "D":
            for change in self._open.pop(text, []):
                _apply(self._sure, change)
        elif what in "MU":
            self._names.pop(text, None)
            self._change(_Name(text, None, folder=what == "M"))
        else:
            was, now = text.split("\0")
            if was in self._names:
                self._names[now] = self._names[was]
                if what == "R":
                    del self._names[was]
                self._change(_Name(now, self._names[now], was=was if what == "R" else ""))

    def _change(self, change: _Name) -> None:
        self._open.setdefault(str(Path(change.path).parent), []).append(change)

    def _synced(self, key: int) -> None:
        file = self._files[key]
        for one in file.open:
            _write(file.sure, one)
        file.open.clear()
        for changes in self._open.values():
            for change in changes:
                if change.file == key and not change.was:
                    _apply(self._sure, change)  # its own name; a rename needs the folder
                    changes.remove(change)
                    break

    def cut(self, home: Path, there: Path, rng: random.Random, *, lost: float) -> None:
        """Write what may be left of `home` to the folder `there`.

        `lost` is the share of what is not sure that is gone; 0 nothing, 1 everything, and in
        between sectors of each write by chance.
        """
        names = dict(self._sure)
        for changes in self._open.values():
            kept = changes[: _some(len(changes), rng, lost)]
            for change in kept:
                _apply(names, change)
        there.mkdir(parents=True)
        for path in sorted(names):
            key = names[path]
            place = there / Path(path).relative_to(home)
            if key is None:
                place.mkdir(parents=True, exist_ok=True)
            elif not path.endswith("-shm"):  # memory that programs share, made anew
                place.parent.mkdir(parents=True, exist_ok=True)
                place.write_bytes(self._left(key, rng, lost))

    def _left(self, key: int, rng: random.Random, lost: float) -> bytes:
        content = bytearray(self._files[key].sure)
        for one in self._files[key].open:
            if one.what == "T":
                if rng.random() >= lost:
                    _write(content, one)
                continue
            start = one.place
            while start < one.place + len(one.data):
                end = min((start // SECTOR + 1) * SECTOR, one.place + len(one.data))
                if rng.random() >= lost:
                    part = one.data[start - one.place : end - one.place]
                    _write(content, Noted("W", 0, start, part))
                start = end
        return bytes(content)


def _some(count: int, rng: random.Random, lost: float) -> int:
    return round(count * (1 - lost)) if lost in (0, 1) else rng.randint(0, count)


def _apply(names: dict[str, int | None], change: _Name) -> None:
    if change.was:
        names.pop(change.was, None)
    if change.file is None and not change.folder:
        names.pop(change.path, None)
    else:
        names[change.path] = change.file


def _write(content: bytearray, one: Noted) -> None:
    if one.what == "T":
        del content[one.place :]
        content.extend(bytes(one.place - len(content)))
        return
    if len(content) < one.place:
        content.extend(bytes(one.place - len(content)))
    content[one.place : one.place + len(one.data)] = one.data


def moments(notes: Sequence[Noted]) -> list[int]:
    """Where a cut tells something new: after each note that changes what is sure, and between."""
    return [at + 1 for at, one in enumerate(notes) if one.what in "SDRUCW"]
