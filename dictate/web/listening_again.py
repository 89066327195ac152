"""The second listener at work behind the page: doubtful notes are heard again while others are reviewed."""

import logging
import os
import sys
import threading
from collections.abc import Callable

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


class ListeningAgain(threading.Thread):
    """Hears one doubtful note after another until it is stopped."""

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
