"""Runs one command line in a process of its own, in a home with a small record."""

import datetime as dt
import os
import shutil
import sys
import time
from pathlib import Path

from commands import SECONDS, Case

from dictate.store.database import open_database
from dictate.store.queries import visit_for
from tests import forked
from tests.deciding import confirm
from tests.dictate.conftest import _put

__all__ = ["ran"]

DAY = dt.date(2026, 3, 2)


def ran(folder: Path, case: Case) -> tuple[int | None, str, float]:
    """The exit code (None: it did not end), what stood on stderr, and the seconds it took.

    The home is made anew for each command line, so that none sees what another did.
    """
    home, err = folder / "home", folder / "stderr"
    shutil.rmtree(home, ignore_errors=True)
    if not (folder / "home as it was").exists():
        _small_record(folder / "home as it was")
    shutil.copytree(folder / "home as it was", home)
    begun = time.monotonic()
    process = forked.started(_run, str(home), str(folder), case.words, case.out, str(err))
    try:
        code: int | None = forked.ended(process, 9 * SECONDS)  # other work may share the computer
    except TimeoutError:
        code = None
    return code, err.read_text("utf-8", "replace"), time.monotonic() - begun


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
