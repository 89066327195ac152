"""Reading aloud in the terminal: a line, a key, the recording, what is wrong with it."""

from pathlib import Path
from typing import TYPE_CHECKING

import typer

from dictate.cli.common import say

if TYPE_CHECKING:
    from collections.abc import Callable

    import numpy as np

    from dictate.voice.reading import Readings

KEYS = (
    "Enter begins, and Enter ends when you have read the line. S skips it, R reads the last one "
    "again, Q stops."
)
_MACHINES = "machines alone"


class Reader:
    """Has prompts read one after the other; knows which was kept last."""

    def __init__(self, readings: "Readings", record: "Callable[[], np.ndarray | None]") -> None:
        self._readings, self._record = readings, record
        self._last: tuple[str, Path] | None = None

    def read(self, prompt: str, place: str, *, instead: str = "") -> bool:
        """Have one prompt read until it is usable or skipped; False when the person stops.

        An empty prompt is the machines alone. `instead` names the reading that this one replaces.
        """
        while True:
            typer.echo(f"\n({place})  {prompt or _MACHINES}")
            key = (
                typer.prompt("", default="", show_default=False, prompt_suffix="> ").strip().lower()
            )
            if key in {"s", "q"}:
                return key == "s"
            if key == "r" and not instead:
                if not self._once_more():
                    return False
            elif key:
                say(KEYS)
            else:
                samples = self._record()
                if samples is None:
                    return False
                if self._kept(prompt, samples, instead):
                    return True

    def _once_more(self) -> bool:
        if self._last is None:
            say("Nothing is read yet.")
            return True
        prompt, path = self._last
        return self.read(prompt, "again", instead=path.stem)

    def _kept(self, prompt: str, samples: "np.ndarray", instead: str) -> bool:
        """Judge a recording, and keep it if it is usable."""
        taken = self._readings.judge(prompt, samples)
        for line in taken.advice:
            say(line)
        if not taken.usable:
            say("Once more, please.")
            return False
        path = self._readings.keep(taken, instead=instead)
        if prompt:
            self._last = prompt, path
        return True


def recorder(device: str | None, play: list[Path] | None) -> "Callable[[], np.ndarray | None]":
    """What records one prompt: the microphone until Enter, or the next of some files."""
    if play is not None:
        from dictate.sound import read_sound

        files = iter(play)
        return lambda: next((read_sound(path).samples for path in files), None)

    from dictate.sound.microphone import HeadsetMicrophone
    from dictate.voice.reading import record_until

    def until_enter() -> "np.ndarray":
        return record_until(HeadsetMicrophone(device), lambda: input("… "))

    return until_enter
