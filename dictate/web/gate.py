"""Who may use the page: the link shown in the terminal, paired phones, and their sessions.

The link and the codes end with the program. Sessions outlive it where a `Kept` is given, so that an
open tab goes on when the program was started anew.
"""

import secrets
import threading
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field

from dictate.review.acts import Done
from dictate.review.offers import Offers
from dictate.web.sessions import Kept, Session, csrf_of, print_of

CODE_MINUTES = 10
"""How long a pairing code is good for."""
_LETTERS = "ABCDEFGHJKMNPQRSTVWXYZ23456789"
"""No letters or digits that look alike."""
_CODE_LENGTH = 8
_TRIES = 5
"""Wrong codes that one address may send in `_TRIES_SECONDS`."""
_TRIES_ALL = 20
"""Wrong codes from all addresses together; then the code is thrown away."""
_TRIES_SECONDS = 600.0
_SESSION_SECONDS = 16 * 3600.0
"""A session that was not used for so long has ended."""
_WRITE_SECONDS = 600.0
"""How far behind the file may be about when a session was last used."""


class TooManyTriesError(Exception):
    """Too many wrong pairing codes; wait."""


@dataclass(slots=True)
class Person:
    """One browser that was let in."""

    name: str
    """Written into the history with every change."""
    csrf: str = ""
    """Must come back with every change."""
    paired: bool = False
    """True for a phone that was let in with a code."""
    notice: str = ""
    """What the last change did; shown once."""
    undo_path: str = ""
    """Where the undo button beside the notice goes; empty for none."""
    offers: Offers = field(default_factory=Offers)
    """Mis-hearings that fixes suggest to remember; they wait until nothing else does, for whoever is there."""
    drafts: dict[str, tuple[bytes, str | None]] = field(default_factory=dict)
    """Uploaded file, and the sheet that was named, by a key, between an upload and its confirmation."""
    last_due: tuple[int, ...] = ()
    """Follow-ups that the last step on the list of what is due closed or put off."""
    seen: float = 0.0

    def done(self, said: str, done: Done) -> None:
        """Tell what an act did and what else changed, and offer to undo it and to remember from it."""
        self.notice = f"{said} {done.told}".rstrip()
        self.undo_path = "/undo"
        self.offers.add(done.offers)


class Gate:
    """Lets browsers in and knows them again by a cookie."""

    def __init__(
        self,
        name: str,
        *,
        clock: Callable[[], float],
        kept: Kept | None = None,
        offers: Offers | None = None,
    ) -> None:
        self.link_token = secrets.token_urlsafe(32)
        """Part of the link in the terminal; good while the program runs, from this computer only."""
        self.on_new_code: Callable[[str], None] = lambda _: None
        """Called when a code was used up or thrown away and a new one holds."""
        self._name = name
        self._clock = clock
        self._kept = kept
        self._offers = offers or Offers()
        self._people: dict[str, Person] = {}
        """By the print of their cookie."""
        for at, one in kept.sessions().items() if kept else ():
            called = one.name if one.paired else name
            self._people[at] = Person(
                name=called, paired=one.paired, seen=one.seen, offers=self._offers
            )
        self._wrong: dict[str, deque[float]] = {}
        self._code = ""
        self._code_until = 0.0
        self._lock = threading.Lock()

    def enter(self, token: str) -> str | None:
        """The cookie for whoever brings the link's token; None for a wrong one."""
        if not _same(token, self.link_token):
            return None
        return self._let_in(Person(name=self._name))

    def new_code(self) -> str:
        """Make a pairing code; the one before is no longer good."""
        with self._lock:
            return self._renew_code()

    @property
    def code(self) -> str:
        """The pairing code that holds now; a new one when the last has run out."""
        with self._lock:
            if self._code and self._clock() < self._code_until:
                return self._code
            return self._renew_code()

    def pair(self, code: str, name: str, address: str) -> str | None:
        """The cookie for a phone that brings the code; None for a wrong or used one.

        Raises:
            TooManyTriesError: this address, or all together, sent too many wrong codes.

        """
        with self._lock:
            now = self._clock()
            self._forget_old_tries(now)
            if len(self._wrong.get(address, ())) >= _TRIES or self._all_wrong() >= _TRIES_ALL:
                raise TooManyTriesError
            good = bool(self._code) and now < self._code_until and _same(_plain(code), self._code)
            if not good:
                self._wrong.setdefault(address, deque()).append(now)
                if self._all_wrong() >= _TRIES_ALL:
                    self._announce(self._renew_code())
                return None
            self._announce(self._renew_code())
        return self._let_in(Person(name=name.strip() or self._name, paired=True))

    def person(self, cookie: str | None) -> Person | None:
        """Who bears this cookie; None for nobody."""
        if not cookie:
            return None
        found = self._people.get(print_of(cookie))
        now = self._clock()
        if found is None or now - found.seen > _SESSION_SECONDS:
            return None
        found.csrf = csrf_of(cookie)
        before, found.seen = found.seen, now
        if now - before > _WRITE_SECONDS:
            self._keep()
        return found

    def leave(self, cookie: str | None) -> None:
        """End a session."""
        self._people.pop(print_of(cookie or ""), None)
        self._keep()

    def _let_in(self, person: Person) -> str:
        cookie = secrets.token_urlsafe(32)
        person.seen, person.offers = self._clock(), self._offers
        self._people[print_of(cookie)] = person
        self._keep()
        return cookie

    def _keep(self) -> None:
        if self._kept is None:
            return
        now = self._clock()
        self._kept.keep(
            {
                at: Session(name=one.name, paired=one.paired, seen=one.seen)
                for at, one in list(self._people.items())
                if now - one.seen <= _SESSION_SECONDS
            }
        )

    def _renew_code(self) -> str:
        self._code = "".join(secrets.choice(_LETTERS) for _ in range(_CODE_LENGTH))
        self._code_until = self._clock() + CODE_MINUTES * 60
        return self._code

    def _announce(self, code: str) -> None:
        self.on_new_code(code)

    def _forget_old_tries(self, now: float) -> None:
        for address, times in list(self._wrong.items()):
            while times and now - times[0] > _TRIES_SECONDS:
                times.popleft()
            if not times:
                del self._wrong[address]

    def _all_wrong(self) -> int:
        return sum(map(len, self._wrong.values()))


def _plain(code: str) -> str:
    return "".join(code.upper().split()).replace("-", "")


def _same(given: str, right: str) -> bool:
    return secrets.compare_digest(given.encode(), right.encode())
