"""The Vosk recogniser: every quirk of its binding stops here.

The binding gives JSON text, ends several results within one sound, answers unsuitable requests
only in its log, and has either alternatives or word confidences but not both.  Alternatives are
asked for, and a word's confidence is worked out from them: the share of the likelihood that falls
on alternatives with the same word at the same time, and how well they all fit the sound.
"""

import json
import logging
import sys
import time
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

import numpy as np

if "kaldifst" in sys.modules:
    raise ImportError("Vosk would freeze beside kaldifst: see dictate.decoder.finite_state")

import vosk

from dictate.decoder.language import FILLER
from dictate.decoder.model_files import ModelFolder
from dictate.decoder.run_time_words import turn_back
from dictate.errors import ModelError
from dictate.hearing.confidences import (
    chances_of,
    hypotheses,
    likelihood_scale,
    loudness_of_machines,
    weigh,
    whole_alternatives,
)
from dictate.hearing.engine import SHIFTS, EngineDescription, Heard
from dictate.sound import Sound

_ASKED = 40
"""Readings asked for of every stretch of speech: confidences are worked out from all of them."""
RATE = 16_000
_BLOCK_SECONDS = 30.0
_QUIET = -1
_log = logging.getLogger(__name__)


@lru_cache(maxsize=2)
def _load(path: Path) -> vosk.Model:
    """Load a model once a process: it is by far the largest thing in memory."""
    vosk.SetLogLevel(_QUIET)
    try:
        return vosk.Model(model_path=str(path))
    except Exception as error:  # the binding raises nothing narrower
        raise ModelError(
            "Vosk cannot load it", where=str(path), remedy="Check it with `dictate model check`"
        ) from error


class VoskEngine:
    """One model, and a fresh recogniser for every sound."""

    def __init__(
        self,
        folder: ModelFolder,
        *,
        phrases: Sequence[str] = (),
        spelt: Mapping[str, str] | None = None,
    ) -> None:
        """Load the model.

        Args:
            folder: a checked model folder.
            phrases: for models that take a grammar at run time, word sequences to expect.
            spelt: trade words that the model lacks, with the words it hears instead.

        Raises:
            ModelError: the model cannot be loaded, takes no grammar, or lacks words of it.
        """
        if phrases and not folder.takes_grammar:
            raise ModelError(
                "its vocabulary is fixed, so it cannot be told what to expect",
                where=str(folder.path),
                remedy="Use a model with graph/HCLr.fst and graph/Gr.fst, or none at all",
            )
        self._folder = folder
        self._model = _load(folder.path)
        missing = self.missing_words(word for phrase in phrases for word in phrase.split())
        if missing:
            raise ModelError(
                f"it does not know {', '.join(missing)}",
                where=str(folder.path),
                remedy="Leave them out, or spell them with words it knows",
            )
        self._phrases = json.dumps(list(phrases)) if phrases else None
        self._spelt = spelt or {}
        weights = folder.card.weights if folder.card else {}
        self._good_fit = weights.get("good_fit")
        self._voice = bool(folder.card and folder.card.voice)
        outputs = folder.card.outputs if folder.card else None
        self._scale = likelihood_scale(outputs.sharpen if outputs else None)

    def hear(self, sound: Sound) -> Heard:
        """Recognise one sound."""
        began = time.perf_counter()
        stretches = [hypotheses(result) for result in self._results(sound.samples)]
        stretches = [readings for readings in stretches if any(r.words for r in readings)]
        machines = loudness_of_machines(sound.samples)
        weighed = [
            weigh(readings, self._scale, good_fit=self._good_fit, machines=machines)
            for readings in stretches
        ]
        sure = [readings for readings, _ in weighed]
        words = tuple(word for readings in sure for word in readings[0].words)
        others = whole_alternatives(sure)
        return Heard(
            words=turn_back(words, self._spelt),
            alternatives=tuple(turn_back(other, self._spelt) for other in others),
            fits=tuple(replace(fit, voice=self._voice) for _, fit in weighed if fit is not None),
            engine=f"vosk {version('vosk')}",
            model=self._folder.name,
            seconds_audio=sound.seconds,
            seconds_taken=time.perf_counter() - began,
        )

    def hearings(self, sound: Sound) -> list[list[tuple[tuple[str, ...], float]]]:
        """For each stretch of speech the words it may be, fillers aside, and how likely each is.

        What is given on as heard comes first.
        """
        found = []
        for readings in map(hypotheses, self._results(sound.samples)):
            chances: dict[tuple[str, ...], float] = {}
            for reading, chance in zip(readings, chances_of(readings, self._scale), strict=True):
                words = tuple(word.text for word in reading.words if word.text != FILLER)
                chances[words] = chances.get(words, 0.0) + float(chance)
            if any(chances):
                found.append(list(chances.items()))
        return found

    def _results(self, samples: np.ndarray) -> list[dict[str, Any]]:
        for shift in SHIFTS[:-1]:
            try:
                return self._results_of(np.pad(samples, (shift, 0)))
            except Exception:  # the binding raises nothing narrower  # noqa: BLE001
                _log.info("heard_again shifted by %d samples", shift)
        return self._results_of(np.pad(samples, (SHIFTS[-1], 0)))

    def _results_of(self, samples: np.ndarray) -> list[dict[str, Any]]:
        given = [self._model, RATE, self._phrases] if self._phrases else [self._model, RATE]
        recogniser = vosk.KaldiRecognizer(*given)
        recogniser.SetMaxAlternatives(_ASKED)
        recogniser.SetWords(True)
        block = int(_BLOCK_SECONDS * RATE)
        results = []
        for start in range(0, len(samples), block):
            if recogniser.AcceptWaveform(samples[start : start + block].tobytes()):
                results.append(recogniser.Result())
        results.append(recogniser.FinalResult())
        return [json.loads(result) for result in results]

    def describe(self) -> EngineDescription:
        """Say which recogniser and model it is."""
        return EngineDescription(
            engine="vosk", version=version("vosk"), model=self._folder.name, path=self._folder.path
        )

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return the words that the model does not know itself, in alphabetical order."""
        find = self._model.vosk_model_find_word
        return tuple(word for word in sorted(set(words)) if find(word) < 0)
