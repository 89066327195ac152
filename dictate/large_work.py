"""Work that takes long, or on very many things at once."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Protocol


@contextmanager
def without_collecting() -> Iterator[None]:
    """Pause Python's search for rings of objects while they are made by the hundred thousand.

    There are none among rows and animals, and each search would look at all of them again: with a
    herd of 60,000 that was two fifths of the time.
    """
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


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
