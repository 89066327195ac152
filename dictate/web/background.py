"""What goes on behind the page: hearing what was taken in, doubtful notes once more, measuring."""

import logging
import os
import sys
import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from dictate.errors import DictateError
from dictate.hearing import Engine
from dictate.notes.hearing_again import hear_again, next_doubtful
from dictate.settings import Settings
from dictate.store.database import Database

log = logging.getLogger(__name__)

_REST_S = 15.0
"""Between two looks for doubtful notes when there was none."""
_NICE = 10
"""The page comes first."""


@dataclass(slots=True)
class Hearing:
    """How far the page is with hearing what was taken in: a watcher (see `dictate.large_work`)."""

    clock: Callable[[], float] = time.monotonic
    busy: bool = False
    total: int = 0
    """Steps of the stage that runs."""
    done: int = 0
    fault_told: str = ""
    _began: float = field(default=0.0)

    def stage(self, name: str, total: int) -> None:
        self.total, self.done, self._began = total, 0, self.clock()

    def step(self) -> None:
        self.done += 1

    def fault(self, message: str) -> None:
        self.fault_told = message

    def begin(self) -> None:
        self.busy, self.total, self.done, self.fault_told = True, 0, 0, ""

    def end(self) -> None:
        self.busy, self.total, self.done = False, 0, 0

    @property
    def left(self) -> float | None:
        """Seconds until the stage is done, by its own pace; None before the first step."""
        if not self.done:
            return None
        return (self.clock() - self._began) / self.done * (self.total - self.done)


class ListeningAgain(threading.Thread):
    """The second listener: hears one doubtful note after another while others are reviewed."""

    def __init__(
        self,
        database: Database,
        settings: Settings,
        open_second: Callable[[], Engine],
        looked_at: Callable[[], frozenset[int]],
    ) -> None:
        """Make it ready.

        Args:
            database: An open database.
            settings: Where sound is kept.
            open_second: Opens the second listener; called when the first doubtful note is there.
            looked_at: Gives the entries that people look at, whose notes are left alone.
        """
        super().__init__(daemon=True, name="second listener")
        self._database, self._settings = database, settings
        self._open_second, self._looked_at = open_second, looked_at
        self._ended = threading.Event()

    def stop(self) -> None:
        """End after the note at hand."""
        self._ended.set()

    def run(self) -> None:
        """Listen; a fault ends it, and the page goes on without."""
        if sys.platform == "linux":  # elsewhere the whole process would step back
            os.setpriority(os.PRIO_PROCESS, threading.get_native_id(), _NICE)
        second: Engine | None = None
        try:
            while not self._ended.is_set():
                with self._database.reading() as session:
                    note = next_doubtful(session, besides=self._looked_at())
                    note_id = note.id if note else None
                if note_id is None:
                    self._ended.wait(_REST_S)
                    continue
                second = second or self._open_second()
                hear_again(
                    self._database, self._settings, second, note_id, looked_at=self._looked_at
                )
        except DictateError as error:
            log.warning("the second listener stopped: %s", error.line)


@dataclass(slots=True)
class MeasuringHere:
    """Recognisers measured on a folder of sound, one at a time; figures stay until the next one."""

    folder: Path | None = None
    """What was measured last, or is being measured."""
    rows: list[dict[str, Any]] = field(default_factory=list)
    """One engine each, as `dictate.measuring.measure_report.as_plain` gives them."""
    fault: str = ""
    _thread: threading.Thread | None = None

    @property
    def busy(self) -> bool:
        return self._thread is not None and self._thread.is_alive()

    def start(self, folder: Path, engines: Sequence[str]) -> None:
        """Begin, unless one runs.

        Raises:
            SoundError: the folder has no table, or its files are not there.
        """
        from dictate.measuring.tables import read_table  # noqa: PLC0415 (slow to load)

        if self.busy:
            return
        utterances = read_table(folder)
        self.folder, self.rows, self.fault = folder, [], ""
        self._thread = threading.Thread(
            target=self._run, args=(utterances, engines), daemon=True, name="measuring"
        )
        self._thread.start()

    def _run(self, utterances: Sequence[Any], engines: Sequence[str]) -> None:
        from dictate.measuring.measure import measure  # noqa: PLC0415
        from dictate.measuring.measure_report import as_plain  # noqa: PLC0415

        try:
            self.rows = [as_plain(one) for one in measure(utterances, engines)]
        except DictateError as error:
            self.fault = error.line
