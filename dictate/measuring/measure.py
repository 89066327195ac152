"""Measure recognisers on a folder of sound: words, slots, entries, speed, memory.

Each engine runs in a process of its own, so that its memory and loading time are its own, and all
of them hear the same samples.  What an entry should be is what the grammar reads from the words
that were said.
"""

import multiprocessing
import resource
import sys
import tempfile
import time
from collections.abc import Iterable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from enum import StrEnum
from pathlib import Path

from dictate.decoder.language import FILLER
from dictate.hearing.engine import Engine, Heard
from dictate.hearing.talk import judge
from dictate.hearing.unsure import marked_entries, read_best
from dictate.measuring.scoring import Score, score_entries, score_words
from dictate.measuring.tables import Utterance
from dictate.sound import read_sound
from grammar import Roster, Word, as_json, parse


class Language(StrEnum):
    """Which words an engine expects."""

    NOTES = "notes"
    """Trade notes: the model's own language model."""
    TABLE = "table"
    """The table's own words, in the orders of its rows that are not measured (else any order)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EngineRun:
    """What one engine heard, and what it took."""

    engine: str
    heard: tuple[Heard, ...]
    seconds_to_load: float
    cpu_seconds: float
    """Processor time of all hearing: what one core would take."""
    peak_memory_mb: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """One engine's figures; `by_condition` has the table's conditions, or its speakers."""

    run: EngineRun
    total: Score
    by_condition: Mapping[str, Score]
    by_speaker: Mapping[str, Score]


def measure(
    utterances: Sequence[Utterance],
    engines: Sequence[str],
    *,
    language: Language = Language.NOTES,
    others: Sequence[Utterance] = (),
    roster: Roster | None = None,
) -> list[Report]:
    """Let each engine hear every utterance.

    Args:
        utterances: what to measure on.
        engines: `bundled`, the folder of a Vosk model, `pocketsphinx`, or `whisper:FOLDER`.
        language: which words to expect.
        others: rows of the table that are not measured, for `Language.TABLE`.
        roster: a herd whose numbers to expect.

    Raises:
        ModelError: an engine cannot be opened.

    """
    reports = []
    for name in engines:
        with tempfile.TemporaryDirectory() as folder:
            plan = Plan(
                engine=name,
                language=language,
                measured=tuple(utterances),
                others=tuple(others),
                roster=roster,
                workshop=Path(folder),
            )
            reports.append(_report(_apart(plan), utterances, roster))
    return reports


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """All that a measuring process needs."""

    engine: str
    language: Language
    measured: tuple[Utterance, ...]
    others: tuple[Utterance, ...]
    roster: Roster | None
    workshop: Path


def _apart(plan: Plan) -> EngineRun:
    """Run a plan: whatever builds graphs first, then the engine, each in a process of its own."""
    from dictate.measuring.measured_engines import build_language, hear_all  # noqa: PLC0415 (it imports this module)

    spawn = multiprocessing.get_context("spawn")
    if plan.language is Language.TABLE:
        with ProcessPoolExecutor(1, mp_context=spawn) as pool:
            pool.submit(build_language, plan).result()
    with ProcessPoolExecutor(1, mp_context=spawn) as pool:
        return pool.submit(hear_all, plan).result()


def _report(run: EngineRun, utterances: Sequence[Utterance], roster: Roster | None) -> Report:
    total = Score()
    by_condition: dict[str, Score] = {}
    by_speaker: dict[str, Score] = {}
    for said, heard in zip(utterances, run.heard, strict=True):
        score = _score(said, heard, roster)
        total += score
        for table, key in ((by_condition, said.condition), (by_speaker, said.speaker)):
            table[key] = table.get(key, Score()) + score
    total = replace(total, seconds_taken=run.cpu_seconds)
    return Report(run=run, total=total, by_condition=by_condition, by_speaker=by_speaker)


def _score(said: Utterance, heard: Heard, roster: Roster | None) -> Score:
    judged = judge([heard.words, *heard.alternatives], heard.fits, again=heard.again)
    reading, judged = read_best(judged, roster=roster)
    entries = marked_entries(reading, judged, roster=roster)
    words = [word.text for word in heard.words if word.text != FILLER]  # no claim to a word
    want = as_json(parse([Word(text=word) for word in said.words], roster=roster))
    score = score_words(said.words, words) + score_entries(want["entries"], entries)
    return replace(score, seconds=heard.seconds_audio, seconds_taken=heard.seconds_taken)


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
