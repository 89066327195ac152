"""How far a learning is, in a small file beside the voice, so that a page can tell while it runs."""

import time
from collections.abc import Callable
from pathlib import Path

from pydantic import BaseModel, ConfigDict, ValidationError

_NAME = "how-far"


class HowFar(BaseModel):
    """Steps done and steps in all, and when."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    done: int
    total: int
    began: float
    """Seconds since 1970, at the first step of this process."""
    first: int
    """Steps that were done before: a learning that was stopped goes on from there."""
    at: float

    @property
    def left(self) -> float | None:
        """Seconds to the end by its own pace; None before there is one."""
        steps = self.done - self.first
        return (self.at - self.began) / steps * (self.total - self.done) if steps > 0 else None

    @classmethod
    def read(cls, folder: Path) -> "HowFar | None":
        """What stands in a voice's folder; None when nothing is being learnt."""
        try:
            return cls.model_validate_json((folder / _NAME).read_text("utf-8"))
        except (OSError, ValidationError):
            return None


class Written:
    """Progress of `dictate.voice.learning`, written down; gone at the end."""

    def __init__(self, folder: Path, clock: Callable[[], float] = time.time) -> None:
        self._path = folder / _NAME
        self._clock = clock
        self._total = self._first = 0
        self._began: float | None = None

    def stage(self, _name: str, total: int) -> None:
        """Begin."""
        self._total, self._began = total, None
        self._write(0)

    def at(self, done: int) -> None:
        """So many steps are done."""
        if self._began is None:
            self._began, self._first = self._clock(), done
        self._write(done)

    def end(self) -> None:
        """Nothing is learnt any more."""
        self._path.unlink(missing_ok=True)

    def _write(self, done: int) -> None:
        now = self._clock()
        far = HowFar(
            done=done, total=self._total, began=now if self._began is None else self._began,
            first=self._first, at=now,
        )  # fmt: skip
        draft = self._path.with_name(f"{_NAME}.draft")
        draft.parent.mkdir(parents=True, exist_ok=True)
        draft.write_text(far.model_dump_json(), "utf-8")
        draft.replace(self._path)
