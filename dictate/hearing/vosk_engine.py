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
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
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
from dictate.decoder.say_as import turn_back
from dictate.errors import ModelError
from dictate.hearing.engine import EngineDescription, Fit, Heard
from dictate.hearing.loudness import loudness_of_machines
from dictate.sound import Sound
from grammar import Word

ALTERNATIVES = 10
"""Hearings of a sound that are given on."""
_ASKED = 40
"""Readings asked for of every stretch of speech: confidences are worked out from all of them."""

RATE = 16_000
_LIKELIHOOD_SCALE = 0.7
"""Flattens likelihoods into chances; fitted on held-out speech, see docs/explanation/hearing.md."""
_SHARPENED = 1.2
"""How sharp the outputs of the network were that it was fitted with. A learnt voice's are half as sharp again, which
makes the recogniser trust its sound more, and is no reason to call every word surer."""
_FIT_WEIGHT = 0.3
"""Log odds that each unit of log likelihood a second below a good fit costs every word."""
_MACHINES_WEIGHT = 8.0
"""Log odds that machines as loud as the voice cost every word: all readings then err alike."""
_ODDS_MOST = 9.0
_AGREEMENT = (-5.0, 7.0)
"""Log odds outside these say no more about a stretch."""
_BLOCK_SECONDS = 30.0
_SPOKEN_MIN = 0.5
"""Seconds a stretch counts for at least: beginning and end cost something even for one word."""
_SHORT = 3
"""Fillers, up to which a stretch may be a word or a number."""
_QUIET = -1
_SHIFTS = (0, 80, 200)
"""Samples of silence put before a sound, one after the other, until Vosk does not fail on it: in some six thousand
noisy sounds it failed on one ("topological sorting of state-level lattice failed"), which a few milliseconds more
at its beginning cured."""

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
        outputs = folder.card.outputs if folder.card else None
        self._scale = _LIKELIHOOD_SCALE * (_SHARPENED / outputs.sharpen if outputs else 1.0)

    def hear(self, sound: Sound) -> Heard:
        """Recognise one sound."""
        began = time.perf_counter()
        stretches = [_readings(result) for result in self._results(sound.samples)]
        stretches = [readings for readings in stretches if any(r.words for r in readings)]
        machines = loudness_of_machines(sound.samples)
        weighed = [
            _weighed(readings, self._scale, good_fit=self._good_fit, machines=machines)
            for readings in stretches
        ]
        sure = [readings for readings, _ in weighed]
        words = tuple(word for readings in sure for word in readings[0].words)
        others = _whole_alternatives(sure)
        return Heard(
            words=turn_back(words, self._spelt),
            alternatives=tuple(turn_back(other, self._spelt) for other in others),
            fits=tuple(fit for _, fit in weighed if fit is not None),
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
        for readings in map(_readings, self._results(sound.samples)):
            chances: dict[tuple[str, ...], float] = {}
            for reading, chance in zip(readings, _chances(readings, self._scale), strict=True):
                words = tuple(word.text for word in reading.words if word.text != FILLER)
                chances[words] = chances.get(words, 0.0) + float(chance)
            if any(chances):
                found.append(list(chances.items()))
        return found

    def _results(self, samples: np.ndarray) -> list[dict[str, Any]]:
        for shift in _SHIFTS[:-1]:
            try:
                return self._results_of(np.pad(samples, (shift, 0)))
            except Exception:  # the binding raises nothing narrower  # noqa: BLE001
                _log.info("heard_again shifted by %d samples", shift)
        return self._results_of(np.pad(samples, (_SHIFTS[-1], 0)))

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
            engine="vosk",
            version=version("vosk"),
            model=self._folder.name,
            path=self._folder.path,
        )

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return the words that the model does not know itself, in alphabetical order."""
        find = self._model.vosk_model_find_word
        return tuple(word for word in sorted(set(words)) if find(word) < 0)


@dataclass(frozen=True, slots=True)
class _Reading:
    words: tuple[Word, ...]
    log_likelihood: float

    @property
    def has_word(self) -> bool:
        """Whether it holds more than fillers."""
        return any(word.text != FILLER for word in self.words)

    @property
    def fit(self) -> float:
        """Log likelihood a second of words."""
        seconds = sum(_at(word.end) - _at(word.start) for word in self.words)
        return self.log_likelihood / max(seconds, _SPOKEN_MIN)


def _readings(result: dict[str, Any]) -> list[_Reading]:
    """One stretch's alternatives, likeliest first; the same words only once."""
    best: dict[tuple[str, ...], _Reading] = {}
    for alternative in result.get("alternatives", []):
        words = tuple(
            Word(text=item["word"], start=item["start"], end=item["end"])
            for item in alternative.get("result", [])
        )
        reading = _Reading(words, float(alternative["confidence"]))
        best.setdefault(tuple(word.text for word in words), reading)
    found = sorted(best.values(), key=lambda reading: -reading.log_likelihood)
    return sorted(found, key=lambda reading: not reading.has_word) if _is_short(found) else found


def _is_short(readings: Sequence[_Reading]) -> bool:
    """Whether nothing but a filler or two was heard: a word or a number of a strange voice, or talk.

    What it may have been says more than a filler does; that the readings agree so little is kept
    with it.
    """
    return bool(readings) and 0 < len(readings[0].words) <= _SHORT and not readings[0].has_word


def _chances(readings: Sequence[_Reading], scale: float) -> np.ndarray:
    scores = np.array([reading.log_likelihood for reading in readings]) * scale
    shares = np.exp(scores - scores.max())
    return shares / shares.sum()


def _weighed(
    readings: Sequence[_Reading], scale: float, *, good_fit: float | None, machines: float
) -> tuple[list[_Reading], Fit | None]:
    """Give the words of the readings that may be given on confidences, and say how well they fit.

    A word's odds are those of the readings that agree with it, less what the whole stretch lacks in
    fitting the sound, less what loud machines drown.
    """
    fit = 0.0 if good_fit is None else readings[0].fit - good_fit
    less = _FIT_WEIGHT * max(0.0, -fit) + _MACHINES_WEIGHT * machines
    odds = _odds(readings, scale)

    def sure(word: Word) -> Word:
        chance = 1 / (1 + np.exp(-np.clip(odds(word) - less, -_ODDS_MOST, _ODDS_MOST)))
        return replace(word, confidence=round(float(chance), 4))

    given = [
        replace(reading, words=tuple(sure(word) for word in reading.words))
        for reading in readings[:ALTERNATIVES]
    ]
    return given, _fit(readings[0].words, fit, odds, machines=machines)


def _fit(
    words: Sequence[Word], fit: float, odds: Callable[[Word], float], *, machines: float
) -> Fit | None:
    if not words:
        return None
    agreeing = [np.clip(odds(word), *_AGREEMENT) for word in words if word.text != FILLER]
    return Fit(
        start=words[0].start or 0.0,
        end=words[-1].end or 0.0,
        fit=round(fit, 2),
        agreement=round(float(np.mean(agreeing)), 2) if agreeing else _AGREEMENT[0],
        machines=round(machines, 2),
    )


def _odds(readings: Sequence[_Reading], scale: float) -> Callable[[Word], float]:
    """Give a function from a word to the log odds of the readings that agree with it there."""
    chances = _chances(readings, scale)
    places: dict[str, list[tuple[int, Word]]] = {}
    for at, reading in enumerate(readings):
        for word in reading.words:
            places.setdefault(word.text, []).append((at, word))

    def odds(word: Word) -> float:
        agreeing = {at for at, other in places[word.text] if _overlap(word, other)}
        share = float(chances[list(agreeing)].sum())
        return min(float(np.log(share / max(1 - share, 1e-9))), _ODDS_MOST)

    return odds


def _overlap(one: Word, other: Word) -> bool:
    return _at(other.start) < _at(one.end) and _at(one.start) < _at(other.end)


def _at(seconds: float | None) -> float:
    """A heard word's time: only typed words have none."""
    return 0.0 if seconds is None else seconds


def _whole_alternatives(stretches: Sequence[Sequence[_Reading]]) -> tuple[tuple[Word, ...], ...]:
    """Readings of the whole sound that differ from the best in one stretch, least loss first."""
    best = [readings[0].words for readings in stretches]
    changed = sorted(
        (
            (readings[0].log_likelihood - reading.log_likelihood, at, rank)
            for at, readings in enumerate(stretches)
            for rank, reading in enumerate(readings)
            if rank
        )
    )
    return tuple(
        tuple(
            word
            for index, words in enumerate(best)
            for word in (stretches[at][rank].words if index == at else words)
        )
        for _, at, rank in changed[: ALTERNATIVES - 1]
    )
