"""Learning after an evening: when there is enough new to learn from, and starting it beside the page.

`voices/<trimmer>/learnt-up-to` holds the id of the newest note that the last learning looked at.
"""

import os
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Literal

from dictate.errors import VoiceError
from dictate.settings import Settings
from dictate.store.database import Database
from dictate.voice.how_far import Written
from dictate.voice.kept import voices_folder
from dictate.voice.needs import can_learn, need_torch

ENOUGH_NOTES = 20
"""New notes with certain words; about as many short recordings as a first learning asks for."""
_MARK = "learnt-up-to"
_LOCK = "learning.lock"
_LOG = "learning.log"
_TOLD = 6

_started: dict[Path, subprocess.Popen[bytes]] = {}
"""What this page started, by the folder of the voice."""


def after_review(
    database: Database, settings: Settings
) -> Literal["offer", "started", "learning"] | None:
    """What the page says when nothing waits any more; with `always`, learning is started here.

    One that this page started and that failed is offered again, and not started by itself.
    """
    if settings.learn_voice == "never" or not can_learn():
        return None
    if is_learning(settings):
        return "learning"
    if not _enough_new(database, settings):
        return None
    if settings.learn_voice == "always" and not _failed(settings):
        start(settings)
        return "started"
    return "offer"


def start(settings: Settings) -> None:
    """Start learning from all that is certain, in a process of its own that lets others go first.

    Raises:
        VoiceError: PyTorch is missing, or the voice is being learnt already.
    """
    need_torch()
    if is_learning(settings):
        raise _busy(settings.trimmer)
    folder = voices_folder(settings)
    folder.mkdir(parents=True, exist_ok=True)
    Written(folder).end()
    with (folder / _LOG).open("wb") as log:
        _started[folder] = subprocess.Popen(  # noqa: S603 (our own program)
            [sys.executable, "-m", "dictate", "voice", "learn", "--gentle", f"--by={settings.trimmer}"],
            stdin=subprocess.DEVNULL, stdout=log, stderr=log,
            env=os.environ | {"DICTATE_HOME": str(settings.home), "COLUMNS": "400", "PYTHONUTF8": "1"},
            start_new_session=True,  # closing the page does not stop it
        )  # fmt: skip


def may_stop(settings: Settings) -> bool:
    """Tell whether the learning that runs was started here."""
    mine = _started.get(voices_folder(settings))
    return mine is not None and mine.poll() is None


def stop(settings: Settings) -> None:
    """Stop the learning that was started here; the next one goes on from what it saved.

    Raises:
        VoiceError: none that was started here runs.
    """
    if not may_stop(settings):
        raise VoiceError("no learning that was started here runs", remedy="Open the page again")
    mine = _started[voices_folder(settings)]
    if hasattr(os, "killpg"):
        os.killpg(mine.pid, signal.SIGTERM)  # with the process that it started
    else:
        mine.terminate()
    mine.wait()


def is_learning(settings: Settings, who: str | None = None) -> bool:
    """Tell whether a person's voice is being learnt now, by whichever process."""
    folder = voices_folder(settings, who)
    mine = _started.get(folder)
    if mine is not None and mine.poll() is None:  # it may not have come to the lock yet
        return True
    if not (folder / _LOCK).exists():
        return False
    try:
        with alone(settings, who or settings.trimmer, patience=0):
            return False
    except VoiceError:
        return True


@contextmanager
def alone(settings: Settings, who: str, *, patience: float = 1.0) -> Iterator[None]:
    """Hold a person's voice for one learning; the system lets go of it however the process ends.

    `patience` in seconds outlasts a page that only looks whether it is held.

    Raises:
        VoiceError: it is being learnt already.
    """
    path = voices_folder(settings, who) / _LOCK
    path.parent.mkdir(parents=True, exist_ok=True)
    lock = sqlite3.connect(
        path, timeout=patience, isolation_level=None
    )  # locks alike on every system
    try:
        try:
            lock.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError as error:
            raise _busy(who) from error
        yield
    finally:
        lock.close()


def keep_mark(settings: Settings, who: str, newest_note: int) -> None:
    """Remember how far a finished learning looked, whether or not its voice was better."""
    path = voices_folder(settings, who) / _MARK
    draft = path.with_name(f"{_MARK}.draft")
    draft.write_text(str(newest_note), "utf-8")
    draft.replace(path)


def last_told(settings: Settings) -> list[str]:
    """The last lines of the learning that a page started last; empty when there was none."""
    try:
        text = (voices_folder(settings) / _LOG).read_text("utf-8", errors="replace")
    except OSError:
        return []
    return [line.strip() for line in text.splitlines() if line.strip()][-_TOLD:]


def _enough_new(database: Database, settings: Settings) -> bool:
    from dictate.voice.confirmed import certain_notes  # noqa: PLC0415 (slow to load)

    try:
        mark = int((voices_folder(settings) / _MARK).read_text("utf-8"))
    except (OSError, ValueError):
        mark = 0
    found = certain_notes(database, settings, settings.trimmer, after=mark, at_most=ENOUGH_NOTES)
    return len(found) >= ENOUGH_NOTES


def _failed(settings: Settings) -> bool:
    mine = _started.get(voices_folder(settings))
    return mine is not None and mine.poll() not in {None, 0}


def _busy(who: str) -> VoiceError:
    return VoiceError(
        f"the voice of {who} is being learnt already",
        remedy="Wait until it is done; the page “Your voice” tells",
    )
