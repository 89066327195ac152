"""Measure recognisers on a folder of sound: words, slots, entries, speed, memory.

Each engine runs in a process of its own, so that its memory and loading time are its own, and all
of them hear the same samples.  What an entry should be is what the grammar reads from the words
that were said.
"""

import multiprocessing
import tempfile
from collections.abc import Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path

from dictate.decoder.language import FILLER
from dictate.hearing.engine import Heard
from dictate.hearing.hear_files import marked_entries
from dictate.hearing.talk import judge
from dictate.hearing.unsure import read_best
from dictate.measuring.measured_engines import EngineRun, Language, Plan, build_language, hear_all
from dictate.measuring.scoring import Score, score_entries, score_words
from dictate.measuring.tables import Utterance
from grammar import Roster, Word, as_json, parse


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


def _apart(plan: Plan) -> EngineRun:
    """Run a plan: whatever builds graphs first, then the engine, each in a process of its own."""
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
