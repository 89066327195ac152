"""The engines that are measured: each opened as the measuring process asks for it, and what it heard."""

import resource
import sys
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from dictate.decoder.estimation import Source, estimate
from dictate.decoder.language import LanguageModel
from dictate.decoder.model_files import (
    NUMBERS_MODEL,
    ModelFolder,
    bundled_model,
    open_folder,
    write_card,
)
from dictate.decoder.pronunciation import Pronunciations, pronunciations
from dictate.errors import ModelError
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


_NOTES = 20_000
_NO_FILLER = 30.0
"""Cost that keeps the filler out where every word of the table is known."""


def build_language(plan: Plan) -> None:
    """Build a graph of the table's words into the plan's workshop, when the engine takes one."""
    if plan.engine == "pocketsphinx" or plan.engine.startswith("whisper:"):
        return
    folder = _folder(plan)
    if folder.card is None or not folder.takes_herd:
        return
    from dictate.decoder.build import read_language, write_graph  # noqa: PLC0415 (no Vosk beside)
    from dictate.decoder.word_graph import HerdNumbers, Weights  # noqa: PLC0415

    for part in ("am", "conf"):
        (plan.workshop / part).symlink_to((folder.path / part).resolve())
    weights = Weights.of(folder.card.weights | {"filler": _NO_FILLER})
    write_graph(
        plan.workshop,
        notes=_table_language(plan),
        herd=HerdNumbers(any_number=read_language(folder.path / NUMBERS_MODEL)),
        pronounced=_pronounced(plan),
        weights=weights,
    )
    card = folder.card
    write_card(
        plan.workshop, name=card.name, version=card.version, lexicon=card.lexicon, weights={}
    )


def hear_all(plan: Plan) -> EngineRun:
    """Open the engine and let it hear everything that is measured."""
    began = time.perf_counter()
    engine = _open(plan)
    return hear_every(engine, plan.measured, load=time.perf_counter() - began)


def _open(plan: Plan) -> Engine:
    if plan.engine == "pocketsphinx":
        from dictate.measuring.peers import PocketSphinxEngine  # noqa: PLC0415

        return PocketSphinxEngine(_language(plan), _pronounced(plan))
    if plan.engine.startswith("whisper:"):
        from dictate.hearing.second_listener import SecondListener  # noqa: PLC0415

        folder = Path(plan.engine.removeprefix("whisper:"))
        prompt = " ".join(_words(plan)) if plan.language is Language.TABLE else None
        return SecondListener(folder, roster=plan.roster, prompt=prompt)
    if (plan.workshop / "graph").exists():
        from dictate.hearing.vosk_engine import VoskEngine  # noqa: PLC0415

        return VoskEngine(open_folder(plan.workshop))
    from dictate.hearing.engine import open_engine  # noqa: PLC0415

    return open_engine(_folder(plan).path, roster=plan.roster, terms=(), home=plan.workshop)


def _folder(plan: Plan) -> ModelFolder:
    return open_folder(bundled_model() if plan.engine == "bundled" else Path(plan.engine))


def _language(plan: Plan) -> LanguageModel:
    """Return a language model without classes, for engines that take ARPA."""
    if plan.language is Language.TABLE:
        return _table_language(plan)
    from dictate.decoder.sampling import whole_notes  # noqa: PLC0415
    from grammar import vocabulary  # noqa: PLC0415

    notes = list(whole_notes(_NOTES, seed=1))
    return estimate([Source(1, notes)], vocabulary=vocabulary(), order=3)


def _table_language(plan: Plan) -> LanguageModel:
    words = _words(plan)
    if plan.others:
        return estimate([Source(1, [u.words for u in plan.others])], vocabulary=words, order=3)
    return estimate([Source(1, [(word,) for word in words])], vocabulary=words, order=1)


def _words(plan: Plan) -> Sequence[str]:
    return sorted({word for u in (*plan.measured, *plan.others) for word in u.words})


def _pronounced(plan: Plan) -> Pronunciations:
    """Return our pronunciations, and the CMU dictionary's for words of a table beyond the trade.

    Raises:
        ModelError: a word that neither has.
    """
    own = pronunciations()
    lacking = set(_words(plan)) - set(own) if plan.language is Language.TABLE else set()
    if not lacking:
        return own
    from dictate.decoder.pronunciation import cmu_pronunciations  # noqa: PLC0415

    dictionary = cmu_pronunciations()
    unknown = sorted(lacking - set(dictionary))
    if unknown:
        raise ModelError(
            f"no pronunciation for {', '.join(unknown)}",
            where="transcripts.tsv",
            remedy="Leave these rows out, or measure with --language notes",
        )
    return {**own, **{word: dictionary[word] for word in lacking}}


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
