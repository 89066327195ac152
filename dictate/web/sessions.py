"""What of the page outlives the program: its port, and who was let in, as one small file.

The file holds prints (SHA-256) of the cookies and never a cookie, so that reading it lets nobody in;
the token of a session's forms is worked out from its cookie.
"""

import hashlib
import hmac
import logging
from pathlib import Path

from pydantic import BaseModel, ConfigDict, ValidationError

from dictate.errors import StoreError
from dictate.written import write_whole

log = logging.getLogger(__name__)


class Session(BaseModel):
    """One browser that was let in."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    name: str
    paired: bool
    seen: float
    """Seconds since 1970."""


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    port: int = 0
    phone_port: int = 0
    sessions: dict[str, Session] = {}


class Kept:
    """The file; a damaged one counts as none, which costs a new visit to the link."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._now = self._read()

    @property
    def port(self) -> int:
        """Where the page was served the last time; 0 when that is not known."""
        return self._now.port

    @property
    def phone_port(self) -> int:
        """The same for phones."""
        return self._now.phone_port

    def sessions(self) -> dict[str, Session]:
        """By the print of their cookie."""
        return dict(self._now.sessions)

    def keep(self, sessions: dict[str, Session]) -> None:
        """Write who is let in."""
        self._write(self._now.model_copy(update={"sessions": sessions}))

    def keep_port(self, port: int) -> None:
        """Write where the page is served."""
        self._write(self._now.model_copy(update={"port": port}))

    def keep_phone_port(self, port: int) -> None:
        """Write where phones find the page."""
        self._write(self._now.model_copy(update={"phone_port": port}))

    def _read(self) -> _File:
        try:
            return _File.model_validate_json(self._path.read_bytes())
        except FileNotFoundError:
            return _File()
        except (OSError, ValidationError) as error:
            log.warning("%s is left out: %s", self._path, error)
            return _File()

    def _write(self, now: _File) -> None:
        self._now = now
        try:
            write_whole(self._path, now.model_dump_json())
            self._path.chmod(0o600)
        except (OSError, StoreError) as error:
            log.warning("%s cannot be written: %s", self._path, error)


def print_of(cookie: str) -> str:
    """What stands for a cookie where it is kept."""
    return hashlib.sha256(cookie.encode()).hexdigest()


def csrf_of(cookie: str) -> str:
    """The token that must come back with every change of this cookie's bearer."""
    return hmac.new(cookie.encode(), b"forms", hashlib.sha256).hexdigest()
