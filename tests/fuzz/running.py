"""Runs one command line in a process of its own, in a home with a small record."""

import datetime as dt
import importlib
import os
import pkgutil
import resource
import shutil
import signal
import subprocess
import sys
import time
import traceback
from contextlib import suppress
from pathlib import Path

from commands import SECONDS, Case

import dictate as package
from dictate.store.database import open_database
from dictate.store.visits import visit_for
from grammar import load_lexicon
from tests import forked
from tests.deciding import confirm
from tests.dictate.conftest import _put

__all__ = ["load_everything", "ran", "ran_alone", "ran_in_fork"]

DAY = dt.date(2026, 3, 2)
_LOADED_BY_FEW = tuple(
    f"dictate.{room}"
    for room in ("training", "decoder", "measuring", "voice", "hearing", "model", "demo")
)


def ran(folder: Path, case: Case) -> tuple[int | None, str, float]:
    """The exit code (None: it did not end), what stood on stderr, and the seconds it took.

    The home is made anew for each command line, so that none sees what another did.
    """
    home, err = _new_home(folder), folder / "stderr"
    begun = time.monotonic()
    process = forked.started(_run, str(home), str(folder), case.words, case.out, str(err))
    try:
        code: int | None = forked.ended(process, 9 * SECONDS)  # other work may share the computer
    except TimeoutError:
        code = None
    return code, err.read_text("utf-8", "replace"), time.monotonic() - begun


def _new_home(folder: Path) -> Path:
    home = folder / "home"
    shutil.rmtree(home, ignore_errors=True)
    if not (folder / "home as it was").exists():
        _small_record(folder / "home as it was")
    shutil.copytree(folder / "home as it was", home)
    return home


def _small_record(home: Path) -> None:
    home.mkdir()
    (home / "settings.toml").write_text('trimmer = "Robin Field"\nfarm = "Alder Farm"\n')
    with (
        open_database(f"sqlite:///{home / 'record.db'}") as database,
        database.writing() as session,
    ):
        visit = visit_for(session, farm="Alder Farm", trimmer="Robin Field", date=DAY)
        for number in ("412", "413", "414"):
            content = {
                "animal": number, "findings": [{"lesion": "sole ulcer", "foot": "LH", "claw": "outer"}],
                "actions": [{"kind": "block", "foot": "LH", "claw": "inner"}],
                "follow_ups": [{"kind": "look again", "in_days": 14, "date": "2026-03-16"}],
            }  # fmt: skip
            entry = _put(session, visit.id or 0, content, "cow")
            if number != "414":
                confirm(session, entry, by="Robin Field", sure=True)


def _run(home: str, folder: str, words: tuple[str, ...], out: str, err: str) -> None:
    for stream, path, how in (
        (0, "/dev/null", os.O_RDONLY), (1, out, os.O_WRONLY),
        (2, err, os.O_WRONLY | os.O_CREAT | os.O_TRUNC),
    ):  # fmt: skip
        os.dup2(os.open(path, how, 0o600), stream)
    sys.stdin, sys.stdout, sys.stderr = (
        os.fdopen(0, closefd=False), os.fdopen(1, "w", closefd=False), os.fdopen(2, "w", closefd=False),
    )  # fmt: skip
    os.environ["DICTATE_HOME"] = home
    os.chdir(folder)
    sys.argv = ["dictate", *words]
    from dictate.cli.main import run

    try:
        run()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()


def ran_in_fork(folder: Path, case: Case) -> tuple[int | None, str, float]:
    """The same in a fork of this very process, which has loaded everything and has no threads.

    A processor's `SECONDS` are the limit, whatever else the computer does.
    """
    home, err = _new_home(folder), folder / "stderr"
    begun = time.monotonic()
    child = os.fork()
    if child == 0:
        code = 70
        try:
            resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS + 1))
            _run(str(home), str(folder), case.words, case.out, str(err))
            code = 0
        except SystemExit as end:
            code = end.code if isinstance(end.code, int) else int(end.code is not None)
        except BaseException:
            traceback.print_exc()
        finally:
            with suppress(Exception):
                sys.stderr.flush()
            os._exit(code)
    ended = _ended(child, 9 * SECONDS)
    return ended, err.read_text("utf-8", "replace"), time.monotonic() - begun


def ran_alone(folder: Path, case: Case) -> tuple[int | None, str, float]:
    """The same by a new interpreter, as a person starts it."""
    home, begun = _new_home(folder), time.monotonic()
    with Path(case.out).open("wb") as out:
        try:
            done = subprocess.run(
                [sys.executable, "-m", "dictate", *case.words],
                cwd=folder, env=os.environ | {"DICTATE_HOME": str(home)}, stdin=subprocess.DEVNULL,
                stdout=out, stderr=subprocess.PIPE, timeout=9 * SECONDS, check=False,
            )  # fmt: skip
        except subprocess.TimeoutExpired:
            return None, "", time.monotonic() - begun
    return done.returncode, done.stderr.decode("utf-8", "replace"), time.monotonic() - begun


def load_everything() -> None:
    """Import what most commands import, so that a fork need not; never a recogniser beside what builds one."""
    for module in pkgutil.walk_packages(package.__path__, "dictate."):
        if not module.name.startswith(_LOADED_BY_FEW) and not module.name.endswith("__main__"):
            with suppress(Exception):  # extras that are not installed
                importlib.import_module(module.name)
    load_lexicon()
    assert sys.modules.keys().isdisjoint({"vosk", "kaldifst"})


def _ended(child: int, seconds: float) -> int | None:
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            code = os.waitstatus_to_exitcode(status)
            return None if code in (-signal.SIGXCPU, -signal.SIGKILL) else code
        time.sleep(0.005)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return None
