"""Work in a process of its own, which can be killed or kept short.

It is forked by a server that does nothing else, without the cost of new imports.  A test's own
process has threads by then (a browser's, a voice detector's), and what is forked beside threads may
wait for ever for a lock that one of them held.
"""

import multiprocessing
import os
import resource
import signal
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Any

__all__ = ["Ended", "dictate", "ended", "started"]

_SERVER = multiprocessing.get_context("forkserver")
_SERVER.set_forkserver_preload(
    ["dictate.cli.main", "dictate.exchange.record_files", "dictate.notes.pipeline",
     "dictate.review.acts", "dictate.store.backup", "dictate.store.migrate"]
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """How a command ended."""

    code: int
    out: str
    err: str


def started(work: Callable[..., object], *arguments: Any) -> BaseProcess:
    """Begin work in a process of its own; both must be picklable."""
    process = _SERVER.Process(target=work, args=arguments)
    process.start()
    return process


def ended(process: BaseProcess, seconds: float = 60) -> int:
    """Wait for it: the exit code, negative for the signal that ended it."""
    process.join(seconds)
    if process.exitcode is None:
        process.kill()
        process.join()
        raise TimeoutError("the work did not end")
    return process.exitcode


def dictate(home: Path, *words: str, limit: int | None = None) -> Ended:
    """Run the command; `limit` caps the bytes of any file that it writes."""
    with tempfile.TemporaryDirectory() as folder:
        out, err = Path(folder) / "out", Path(folder) / "err"
        code = ended(started(_run, home, words, limit, out, err))
        return Ended(code=code, out=out.read_text("utf-8"), err=err.read_text("utf-8"))


def _run(home: Path, words: Sequence[str], limit: int | None, out: Path, err: Path) -> None:
    for stream, path in ((1, out), (2, err)):
        os.dup2(os.open(path, os.O_WRONLY | os.O_CREAT), stream)
    sys.stdout = os.fdopen(1, "w", closefd=False)
    sys.stderr = os.fdopen(2, "w", closefd=False)
    os.environ["DICTATE_HOME"] = str(home)
    sys.argv = ["dictate", *words]
    if limit:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
    from dictate.cli.main import run

    try:
        run()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
