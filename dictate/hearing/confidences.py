"""How sure the words of a stretch of speech are, worked out from everything that it may have been.

A word's confidence is the share of the likelihood that falls on hypotheses with the same word at the
same time, less what they all lack in fitting the sound, less what loud machines drown.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from dictate.decoder.language import FILLER
from dictate.hearing.engine import Fit
from grammar import Word

ALTERNATIVES = 10
"""Hearings of a sound that are given on."""
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
_SPOKEN_MIN = 0.5
"""Seconds a stretch counts for at least: beginning and end cost something even for one word."""
_SHORT = 3
"""Fillers, up to which a stretch may be a word or a number."""
_FRAME = 480
"""Samples, 30 ms."""
_SPREAD_NOISY, _SPREAD_QUIET = 6.0, 12.0
"""dB from the quiet tenth of a sound's frames to the loud tenth, with machines as loud as the voice
and with machines 10 dB below it; without machines it is 20 and more."""


def likelihood_scale(sharpen: float | None) -> float:
    """What flattens likelihoods into chances, for a network whose outputs were sharpened so much."""
    return _LIKELIHOOD_SCALE * (_SHARPENED / sharpen if sharpen else 1.0)


@dataclass(frozen=True, slots=True)
class Hypothesis:
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


def hypotheses(result: dict[str, Any]) -> list[Hypothesis]:
    """One stretch's alternatives, likeliest first; the same words only once."""
    best: dict[tuple[str, ...], Hypothesis] = {}
    for alternative in result.get("alternatives", []):
        words = tuple(
            Word(text=item["word"], start=item["start"], end=item["end"])
            for item in alternative.get("result", [])
        )
        reading = Hypothesis(words, float(alternative["confidence"]))
        best.setdefault(tuple(word.text for word in words), reading)
    found = sorted(best.values(), key=lambda reading: -reading.log_likelihood)
    return sorted(found, key=lambda reading: not reading.has_word) if _is_short(found) else found


def _is_short(readings: Sequence[Hypothesis]) -> bool:
    """Whether nothing but a filler or two was heard: a word or a number of a strange voice, or talk.

    What it may have been says more than a filler does; that the readings agree so little is kept
    with it.
    """
    return bool(readings) and 0 < len(readings[0].words) <= _SHORT and not readings[0].has_word


def chances_of(readings: Sequence[Hypothesis], scale: float) -> np.ndarray:
    scores = np.array([reading.log_likelihood for reading in readings]) * scale
    shares = np.exp(scores - scores.max())
    return shares / shares.sum()


def weigh(
    readings: Sequence[Hypothesis], scale: float, *, good_fit: float | None, machines: float
) -> tuple[list[Hypothesis], Fit | None]:
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


def _odds(readings: Sequence[Hypothesis], scale: float) -> Callable[[Word], float]:
    """Give a function from a word to the log odds of the readings that agree with it there."""
    chances = chances_of(readings, scale)
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


def whole_alternatives(stretches: Sequence[Sequence[Hypothesis]]) -> tuple[tuple[Word, ...], ...]:
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


def loudness_of_machines(samples: np.ndarray) -> float:
    """How loud machines are beside the voice: 0 where they are well below it, 1 where they equal it."""
    whole = samples[: len(samples) // _FRAME * _FRAME].reshape(-1, _FRAME).astype(np.float64)
    if not len(whole):
        return 0.0
    low, high = np.percentile(10 * np.log10((whole**2).mean(axis=1) + 1.0), [10, 90])
    return float(np.interp(high - low, [_SPREAD_NOISY, _SPREAD_QUIET], [1, 0]))
