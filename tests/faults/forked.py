"""Work in a process of its own, forked: it can be killed or kept short without costing new imports."""

import os
import resource
import signal
import sys
import tempfile
import time
import warnings
from collections.abc import Callable
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

__all__ = ["Ended", "dictate", "ended", "started"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """How a command ended."""

    code: int
    out: str
    err: str


def started(work: Callable[[], object]) -> int:
    """Begin work in a forked process; its number."""
    with warnings.catch_warnings():
        warnings.simplefilter(
            "ignore", DeprecationWarning
        )  # no thread of ours runs beside the fork
        child = os.fork()
    if child:
        return child
    code = 1
    try:
        work()
        code = 0
    except SystemExit as error:
        code = error.code if isinstance(error.code, int) else 1
    except BaseException as error:
        print(repr(error), file=sys.stderr)
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


def ended(child: int, seconds: float = 60) -> int:
    """Wait for it: the exit code, negative for the signal that ended it."""
    until = time.monotonic() + seconds
    while not (found := os.waitpid(child, os.WNOHANG))[0]:
        if time.monotonic() > until:
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)
            raise TimeoutError("the forked work did not end")
        time.sleep(0.002)
    return os.waitstatus_to_exitcode(found[1])


def dictate(home: Path, *words: str, limit: int | None = None) -> Ended:
    """Run the command; `limit` caps the bytes of any file that it writes."""
    from dictate.cli.main import run

    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:

        def work() -> None:
            with _redirected(out.fileno(), err.fileno()):
                os.environ["DICTATE_HOME"] = str(home)
                sys.argv = ["dictate", *words]
                if limit:
                    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
                    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
                run()

        code = ended(started(work))
        out.seek(0)
        err.seek(0)
        return Ended(code=code, out=out.read().decode(), err=err.read().decode())


@contextmanager
def _redirected(out: int, err: int):
    os.dup2(out, 1)
    os.dup2(err, 2)
    sys.stdout = os.fdopen(1, "w", closefd=False)
    sys.stderr = os.fdopen(2, "w", closefd=False)
    yield
