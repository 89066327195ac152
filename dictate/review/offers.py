"""Mis-hearings that fixes suggest to remember: kept until a person says yes or no, whatever ends before."""

import logging
from collections.abc import Iterable
from pathlib import Path
from threading import Lock

from pydantic import TypeAdapter, ValidationError

from dictate.errors import StoreError
from dictate.review.learning import Offer
from dictate.written import write_whole

log = logging.getLogger(__name__)
FILE_NAME = "offers.json"
_FILE = TypeAdapter(list[Offer])


class Offers:
    """Offers in their order, each once, in a small file of the home folder; without one, in memory.

    The page and the terminal share the file, so it is read anew at each step. A damaged one counts
    as empty: what it would have taught can be taught by hand.
    """

    def __init__(self, home: Path | None = None) -> None:
        self._path = home and home / FILE_NAME
        self._held: list[Offer] = []
        self._lock = Lock()

    @property
    def waiting(self) -> list[Offer]:
        """All that nobody has answered, the oldest first."""
        if self._path is None:
            return list(self._held)
        try:
            return _FILE.validate_json(self._path.read_bytes())
        except FileNotFoundError:
            return []
        except (OSError, ValidationError) as error:
            log.warning("%s is left out: %s", self._path, error)
            return []

    def add(self, offers: Iterable[Offer]) -> None:
        """Keep what a fix suggests."""
        if new := tuple(offers):
            with self._lock:
                self._keep(list(dict.fromkeys((*self.waiting, *new))))

    def take(self, heard: str, term: str) -> Offer | None:
        """Take an offer off the list; None when it is gone."""
        with self._lock:
            waiting = self.waiting
            found = next((one for one in waiting if (one.heard, one.term) == (heard, term)), None)
            if found is not None:
                self._keep([one for one in waiting if one != found])
        return found

    def _keep(self, offers: list[Offer]) -> None:
        self._held = offers
        if self._path is None:
            return
        try:
            write_whole(self._path, _FILE.dump_json(offers, indent=1))
            self._path.chmod(0o600)
        except (OSError, StoreError) as error:
            log.warning("%s cannot be written: %s", self._path, error)
