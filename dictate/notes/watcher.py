"""How long work tells a person what it does; the work itself never prints."""

from typing import Protocol


class Watcher(Protocol):
    """Told about stages, steps and faults while they happen."""

    def stage(self, name: str, total: int) -> None:
        """A stage of `total` steps begins."""

    def step(self) -> None:
        """One step of the stage is done."""

    def fault(self, message: str) -> None:
        """One thing went wrong; the work goes on."""


class Silent:
    """Says nothing."""

    def stage(self, name: str, total: int) -> None:
        pass

    def step(self) -> None:
        pass

    def fault(self, message: str) -> None:
        pass
