"""Every command with missing, odd, huge and hostile arguments: what the command tree itself offers.

A case is one command line. A command may refuse it in its own words; it may not show a traceback,
end by a signal, or take longer than `SECONDS`.
"""

import os
import random
import re
import struct
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from dictate.cli.main import COMMANDS, load_command

__all__ = ["SECONDS", "Case", "all_cases", "fault_in", "fill_folder", "sample"]

SECONDS = 10
SERVES = frozenset({"review", "listen"})
"""Commands that go on until they are stopped, once what they were given makes sense."""
LONG = frozenset({"demo", "model build", "model measure", "term add"})
"""Commands whose right use takes longer than `SECONDS`: only what they must refuse is tried."""

_TEXTS = (
    "", " ", "-", "--", "x" * 100_000, "\x1b[2J\x07", "'; DROP TABLE entry; --", "nan", "-1", "0", "1.5", "1",
    "412", "1e9", "2147483648", "9223372036854775807", "99999999999999999999999", "-99999999999999999999999",
    "36500000", "٤١٢", "牛🐄", "\udcff\udcfe", "2026-13-45", "0001-01-01", "9999-12-31", "2026-03-02", "last week",
    "Alder Farm", "=1+1", "%s%n{0}", "number=", "number=Plate", "a=b=c", "../../etc", "cp1252", "rot13",
)  # fmt: skip
_PATHS = (
    "", ".", "..", "/", "nowhere/at/all.csv", "/dev/null", "/dev/zero", "/dev/full", "/dev/random", "/proc/self/mem",
    "~", "x" * 300, "a-pipe", "a-folder", "a-folder.csv", "a-loop", "a-dangling-link", "empty", "empty.csv", "empty.wav",
    "pdf.docx", "pdf.csv", "pdf.xlsx", "pdf.wav", "pdf.db", "nan.wav", "short.wav", "zip.xlsx", "noise.opus", "noise.db",
    "herd.csv", "read-only/new.csv", "new.pdf", "new.html", "new.ics", "new.csv", "new.docx", "no-such/new.pdf",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One command line."""

    command: str
    words: tuple[str, ...]
    out: str = "/dev/null"
    """What its standard output leads to."""

    def __str__(self) -> str:
        return " ".join(
            word if len(word) < 60 else f"{word[:20]}…({len(word)})" for word in self.words
        )


def leaves() -> Iterator[tuple[tuple[str, ...], Any]]:
    """Every command of the tree with the words that name it."""
    for name in COMMANDS:
        yield from _below(load_command(name), (name.replace("_", "-"),))


def _below(command: Any, words: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], Any]]:
    children = getattr(command, "commands", None)
    if not children:
        yield words, command
        return
    for name, child in children.items():
        yield from _below(child, (*words, name))


def all_cases(words: Sequence[str], command: Any) -> Iterator[Case]:
    """Each parameter with each value, the others as they may well be; and nothing at all."""
    name = " ".join(words)
    own = [one for one in command.params if one.name != "help"]
    needed = [one for one in own if one.required]
    if name not in SERVES and (needed or name not in LONG):
        yield Case(command=name, words=tuple(words))
    if name not in SERVES | LONG:
        likely = _case(name, words, needed, None, None)
        yield likely
        yield replace(likely, out="/dev/full")
    for one in own:
        if getattr(one, "is_flag", False):
            if one.name != "watch" and name not in LONG | SERVES:
                yield _case(name, words, needed, one, None)
            continue
        for value in (*_PATHS, *_TEXTS):
            yield _case(name, words, needed, one, value)


def _case(
    name: str, words: Sequence[str], needed: Sequence[Any], one: Any, value: str | None
) -> Case:
    options, arguments = [], []
    for param in needed:
        if param is one:
            continue
        likely = _likely(param)
        (
            arguments.append(likely)
            if param.param_type_name == "argument"
            else options.extend([param.opts[0], likely])
        )
    if one is None:
        pass
    elif one.param_type_name != "argument":
        options += [one.opts[0]] if value is None else [f"{one.opts[0]}={value}"]
    elif value is not None:
        at = [param for param in needed if param.param_type_name == "argument"]
        arguments.insert(at.index(one) if one in at else len(arguments), value)
    if name in SERVES | LONG:
        options.append("--no-such-option" if name in LONG else "--help")
    return Case(command=name, words=(*words, *options, "--", *arguments))


def _likely(param: Any) -> str:
    return {
        "entry": "1", "entries": "1", "number": "412", "file": "herd.csv", "files": "short.wav", "folder": "a-folder",
        "reason": "spoken twice", "before": "2026-03-02", "until": "2027-01-01", "text": "cow 412", "now": "sold",
        "acoustic": "a-folder", "target": "new", "version": "1", "phrase": "stable lad", "other": "412", "into": "413",
    }.get(param.name, "1")  # fmt: skip


def sample(cases: Sequence[Case], count: int, seed: int) -> list[Case]:
    """Some of them, the same for the same seed."""
    return random.Random(seed).sample(list(cases), min(count, len(cases)))


def fill_folder(folder: Path) -> None:
    """What the paths of the cases name: files that are not what they are called, and no files."""
    (folder / "a-folder").mkdir()
    (folder / "a-folder.csv").mkdir()
    (folder / "read-only").mkdir(mode=0o500)
    os.mkfifo(folder / "a-pipe")
    (folder / "a-loop").symlink_to("a-loop")
    (folder / "a-dangling-link").symlink_to("nowhere")
    for name in ("empty", "empty.csv", "empty.wav"):
        (folder / name).touch()
    for name in ("pdf.docx", "pdf.csv", "pdf.xlsx", "pdf.wav", "pdf.db"):
        (folder / name).write_bytes(b"%PDF-1.7\n" + random.Random(1).randbytes(2000))
    for name in ("noise.opus", "noise.db", "zip.xlsx"):
        start = b"PK\x03\x04" if name.startswith("zip") else b""
        (folder / name).write_bytes(start + random.Random(2).randbytes(5000))
    (folder / "herd.csv").write_text("number,lactation\n412,2\n413,x\n")
    (folder / "nan.wav").write_bytes(_float_wave([float("nan"), float("inf"), -1e38] * 8000))
    (folder / "short.wav").write_bytes(_float_wave([0.0] * 40))


def _float_wave(samples: Sequence[float]) -> bytes:
    data = struct.pack(f"<{len(samples)}f", *samples)
    form = struct.pack("<HHIIHH", 3, 1, 16_000, 64_000, 4, 32)
    return (
        b"RIFF" + struct.pack("<I", 36 + len(data)) + b"WAVEfmt " + struct.pack("<I", 16) + form
        + b"data" + struct.pack("<I", len(data)) + data
    )  # fmt: skip


def fault_in(code: int | None, err: str) -> str:
    """What is wrong with how a command ended; empty for nothing. `code` None: it did not end."""
    if code is None:
        return f"did not end in {SECONDS} s"
    if "Traceback (most recent call last)" in err or "Exception ignored" in err:
        lines = err.strip().splitlines()
        places = [line.strip() for line in lines if re.match(r'\s+File ".*dictate/', line)]
        return f"{lines[-1][:200]} at {places[-1] if places else '?'}"
    if code < 0:
        return f"ended by signal {-code}"
    return ""
