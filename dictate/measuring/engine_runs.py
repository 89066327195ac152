"""What an engine is to hear when it is measured, and what came of it."""

import resource
import sys
import time
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from dictate.hearing.engine import Engine, Heard
from dictate.measuring.tables import Utterance
from dictate.sound import read_sound
from grammar import Roster


class Language(StrEnum):
    """Which words an engine expects."""

    NOTES = "notes"
    """Trade notes: the model's own language model."""
    TABLE = "table"
    """The table's own words, in the orders of its rows that are not measured (else any order)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """All that a measuring process needs."""

    engine: str
    language: Language
    measured: tuple[Utterance, ...]
    others: tuple[Utterance, ...]
    roster: Roster | None
    workshop: Path


@dataclass(frozen=True, slots=True, kw_only=True)
class EngineRun:
    """What one engine heard, and what it took."""

    engine: str
    heard: tuple[Heard, ...]
    seconds_to_load: float
    cpu_seconds: float
    """Processor time of all hearing: what one core would take."""
    peak_memory_mb: float


def hear_every(engine: Engine, utterances: Iterable[Utterance], *, load: float) -> EngineRun:
    """Hear every utterance in this process and look at what it took."""
    heard: list[Heard] = []
    busy = 0.0
    for utterance in utterances:
        sound = read_sound(utterance.path)
        began = time.process_time()
        heard.append(engine.hear(sound))
        busy += time.process_time() - began
    about = engine.describe()
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return EngineRun(
        engine=f"{about.engine} {about.version}, {about.model}",
        heard=tuple(heard),
        seconds_to_load=load,
        cpu_seconds=busy,
        peak_memory_mb=peak / (1024 * 1024 if sys.platform == "darwin" else 1024),
    )
