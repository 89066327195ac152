"""How far long work has come, on stderr."""

import signal
import threading
from typing import Any

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn


class Bar(Progress):
    """Shows long work on stderr; on anything but a terminal only the faults are written."""

    def __init__(self) -> None:
        console = Console(stderr=True)
        columns = (
            TextColumn("{task.description}"),
            BarColumn(),
            MofNCompleteColumn(),
            TimeRemainingColumn(),
        )
        super().__init__(*columns, console=console, transient=True, disable=not console.is_terminal)

        self._stopped = False
        self._before: Any = None

    def start(self) -> None:
        super().start()
        if threading.current_thread() is threading.main_thread():
            self._before = signal.signal(signal.SIGINT, self._interrupted)

    def stop(self) -> None:
        if self._before is not None:
            signal.signal(signal.SIGINT, self._before)
            self._before = None
        super().stop()

    def _interrupted(self, *_: object) -> None:
        self._stopped = True
        raise KeyboardInterrupt

    def stage(self, name: str, total: int) -> None:
        for task in self.task_ids:
            self.remove_task(task)
        if total:
            self.add_task(name, total=total)

    def step(self) -> None:
        if self._stopped:  # a decoder's or recogniser's binding swallowed the interrupt
            raise KeyboardInterrupt
        for task in self.task_ids:
            self.advance(task)

    def fault(self, message: str) -> None:
        self.console.print(message, soft_wrap=True, markup=False, highlight=False)
