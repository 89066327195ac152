"""What is shown on stderr while something runs: how far long work has come, how loud it is."""

import signal
import sys
import threading
from types import TracebackType
from typing import TYPE_CHECKING, Any, Self

from rich.console import Console
from rich.live import Live
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn
from rich.text import Text

from dictate.entry.wording import counted

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from dictate.sound.live import Listener
    from dictate.sound.microphone import Chunk

_WIDTH = 30
_LOWEST_DB = -60.0
_CLOSE_DB = -1.0
"""From here the ceiling is so near that a louder word would be clipped."""


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


def meter_line(level_db: float, *, talking: bool, lost: int, plugged: bool) -> str:
    """The line, e.g. `[##########--------] -24 dB  speaking`."""
    if not plugged:
        return f"no microphone: plug it in{_lost(lost)}"
    filled = round(_WIDTH * (1 - max(level_db, _LOWEST_DB) / _LOWEST_DB))
    bar = "#" * filled + "-" * (_WIDTH - filled)
    state = "too loud" if level_db >= _CLOSE_DB else "speaking" if talking else "waiting"
    return f"[{bar}] {level_db:4.0f} dB  {state}{_lost(lost)}"


def _lost(times: int) -> str:
    return f"  sound was lost {counted(times, 'time')}" if times else ""


class Meter:
    """Shows the level of the chunks that pass through."""

    def __init__(self, listener: "Listener", *, console: Console | None = None) -> None:
        """Show on stderr, or on `console`."""
        self._listener = listener
        self._console = console or Console(stderr=True)
        # Answers printed to a terminal go above the line; those that are piped stay in the pipe.
        self._live = Live(
            console=self._console, auto_refresh=False, transient=True,
            redirect_stdout=sys.stdout.isatty(),
        )  # fmt: skip

    def __enter__(self) -> Self:
        if self._console.is_terminal:
            self._live.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, _: BaseException | None, __: TracebackType | None
    ) -> None:
        self._live.stop()

    def watch(self, chunks: "Iterable[Chunk]") -> "Iterator[Chunk]":
        """Pass chunks on, each shown first."""
        from dictate.sound.levels import peak_db

        for chunk in chunks:
            if self._console.is_terminal:
                line = meter_line(
                    peak_db(chunk.samples), talking=self._listener.talking,
                    lost=self._listener.lost, plugged=len(chunk.samples) > 0,
                )  # fmt: skip
                self._live.update(Text(line), refresh=True)
            yield chunk
