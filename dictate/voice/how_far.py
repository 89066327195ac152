"""How far a learning is, in a small file beside the voice, so that a page can tell while it runs."""

import time
from collections.abc import Callable
from pathlib import Path
from typing import Protocol

from pydantic import BaseModel, ConfigDict, ValidationError

_NAME = "how-far"


class Progress(Protocol):
    """Hears how far long work is."""

    def stage(self, name: str, total: int) -> None: ...

    def at(self, done: int) -> None: ...


class Whole:
    """One count over all stages, so that the time left is that of the whole."""

    def __init__(self, progress: Progress, total: int) -> None:
        self._progress, self._before, self._total = progress, 0, 0
        self.more(total)

    def more(self, steps: int) -> None:
        """There are so many steps more than it was thought."""
        if not steps:
            return
        self._total += steps
        self._progress.stage("learning your voice", self._total)
        if self._before:
            self._progress.at(self._before)

    def part(self, steps: int) -> Callable[[int, int], None]:
        """What tells of the next stage, which is worth so many steps of all."""
        before = self._before
        self._before += steps
        return lambda done, of: self._progress.at(before + round(steps * done / max(of, 1)))


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
