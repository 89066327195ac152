"""How far the page is with hearing what was taken in, for people to see."""

import time
from collections.abc import Callable
from dataclasses import dataclass, field


@dataclass(slots=True)
class Hearing:
    """A watcher (see `dictate.large_work`) that remembers how far the work is."""

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
