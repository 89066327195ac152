"""Reading aloud: prompt by prompt, each recording judged at once and kept with its words."""

import threading
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soundfile

from dictate.errors import DictateError
from dictate.measuring.tables import TABLE
from dictate.sound import RATE, Sound
from dictate.sound.levels import advise, measure_levels
from dictate.sound.microphone import Microphone
from dictate.voice.folder_table import read_folder_table

_SECONDS_A_WORD = 0.12
"""Nobody says a word faster: what is shorter was cut off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """One recording of a prompt, not kept yet."""

    prompt: str
    """Empty: machines alone, nobody speaking."""
    samples: np.ndarray
    advice: tuple[str, ...]
    usable: bool


class Readings:
    """A person's folder of readings: what is read already is not asked for again."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    @property
    def read(self) -> list[str]:
        """Prompts that are read."""
        table = self._folder / TABLE
        rows = read_folder_table(self._folder).rows if table.exists() else ()
        return [" ".join(row.words) for row in rows if row.words]

    def left(self, prompts: Sequence[str]) -> Iterator[str]:
        """Prompts that are still to be read."""
        read = set(self.read)
        yield from (prompt for prompt in prompts if prompt not in read)

    def judge(self, prompt: str, samples: np.ndarray) -> Taken:
        """Judge level, clipping, noise and length, with advice."""
        sound = Sound.of(samples)
        levels = measure_levels(sound)
        advice = advise(levels, silent=sound.silent)
        if not prompt:
            spoken = levels.speech_seconds > 1.0
            said = ["Somebody spoke: let the machines run alone."] if spoken else []
            return Taken(prompt="", samples=samples, advice=tuple(said), usable=not spoken)
        short = levels.speech_seconds < _SECONDS_A_WORD * len(prompt.split())
        if short:
            advice = ["That was too short for these words: read the whole line.", *advice[:1]]
        elif levels.speech_db is None:
            advice = []  # a short prompt says too little to judge by, but can be learnt from
        clipped = levels.clipped_share > 1e-3
        return Taken(
            prompt=prompt, samples=samples, advice=tuple(advice),
            usable=not (short or sound.silent or clipped),
        )  # fmt: skip

    def keep(self, taken: Taken, *, instead: str = "") -> Path:
        """Keep a recording: its sound first, then its line, so that no line lacks its sound.

        `instead` names an earlier one that this one replaces.
        """
        self._folder.mkdir(parents=True, exist_ok=True)
        number = 1 + len(list(self._folder.glob("*.flac")))
        path = self._folder / f"{number:03d}.flac"
        while path.exists():
            number += 1
            path = self._folder / f"{number:03d}.flac"
        soundfile.write(path, taken.samples, RATE, format="FLAC", subtype="PCM_16")
        table = self._folder / TABLE
        new = not table.exists()
        with table.open("a", encoding="utf-8") as lines:
            lines.write("utterance\ttext\n" if new else "")
            lines.write(f"{path.stem}\t{taken.prompt}\n")
        if instead:
            self._drop(instead)
        return path

    def _drop(self, name: str) -> None:
        """Take a recording back: its line first."""
        table = self._folder / TABLE
        lines = table.read_text("utf-8").splitlines(keepends=True)
        left = [line for line in lines if line.split("\t")[0] != name]
        if len(left) == len(lines):
            return
        draft = self._folder / f"{TABLE}.draft"
        draft.write_text("".join(left), "utf-8")
        draft.replace(table)
        (self._folder / f"{name}.flac").unlink(missing_ok=True)


def record_until(microphone: Microphone, ended: Callable[[], object]) -> np.ndarray:
    """Record (int16, 16 kHz) until `ended` returns.

    Raises:
        SoundError: there is no microphone.
    """
    heard: list[np.ndarray] = []
    faults: list[DictateError] = []
    stop = threading.Event()

    def listen() -> None:
        try:
            for chunk in microphone.chunks():
                heard.append(chunk.samples)
                if stop.is_set():
                    return
        except DictateError as error:
            faults.append(error)

    listening = threading.Thread(target=listen, daemon=True)
    listening.start()
    ended()
    stop.set()
    listening.join(timeout=2.0)
    if faults:
        raise faults[0]
    return np.concatenate(heard) if heard else np.zeros(0, np.int16)
