"""Remarks are sound first: the words before "remark" are heard apart from what is said after it.

A remark may hold any words, and the recogniser knows those of the trade.  Together with the note in
one stretch they would make every word of it unsure.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from dictate.decoder.language import FILLER
from dictate.entry.values import MarkValues, SpokenRemark
from dictate.hearing.engine import Engine, EngineDescription, Heard
from dictate.sound import RATE, Sound
from grammar import Word, load_lexicon

REMARK_SPOKEN = "remark-spoken"
"""Check of a remark that nobody typed; its candidate is what a second listener wrote."""
_APART = 0.15
"""Seconds by which two listeners may place the same word differently."""
_MORE = 0.1
"""Seconds after the word "remark" that are heard with it: the recogniser looks ahead."""


@dataclass(frozen=True, slots=True)
class RemarksApart:
    """An engine that hears the sound before a remark once more, by itself."""

    engine: Engine

    def hear(self, sound: Sound) -> Heard:
        """Recognise one sound; the fits are those of the words before the remark."""
        whole = self.engine.hear(sound)
        cue = place_of_remark(whole.words)
        end = whole.words[cue].end if cue is not None else None
        if cue is None or end is None:
            return whole
        before = self.engine.hear(Sound.of(sound.samples[: round((end + _MORE) * RATE)]))
        if place_of_remark(before.words) is None:
            return whole
        rest = whole.words[cue:]
        return replace(
            whole,
            words=(*_without_remark(before.words), *rest),
            alternatives=tuple((*_without_remark(one), *rest) for one in before.alternatives),
            fits=before.fits,
            seconds_taken=whole.seconds_taken + before.seconds_taken,
        )

    def describe(self) -> EngineDescription:
        """Say which recogniser it is."""
        return self.engine.describe()

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return the words that can never be heard."""
        return self.engine.missing_words(words)


def _without_remark(words: Sequence[Word]) -> Sequence[Word]:
    return words[: place_of_remark(words)]


def place_of_remark(words: Sequence[Word]) -> int | None:
    """Return the place of the word that begins a remark; None where there is none."""
    return next((at for at, word in enumerate(words) if word.text in _cues()), None)


def remark_in(words: Sequence[Word], seconds: float | None) -> SpokenRemark | None:
    """Return where in a sound of so many seconds its remark lies; None for words without times."""
    cue = place_of_remark(words)
    if cue is None or seconds is None or (start := words[cue].end) is None or start >= seconds:
        return None
    heard = heard_in(word.text for word in words[cue + 1 :])
    return SpokenRemark(start=round(start, 2), end=round(seconds, 2), heard=heard)


def heard_in(texts: Iterable[str]) -> str:
    """Return the words of a remark that are words."""
    return " ".join(text for text in texts if text != FILLER)


def mark_of_remark(spoken: SpokenRemark, again: Sequence[Word] = ()) -> MarkValues:
    """Say that a remark is there to be typed; a second listener, who knows all words, has its text."""
    cue = place_of_remark(again)
    if cue is not None:
        again = again[cue + 1 :]
    else:  # it often writes another word for "remark"
        again = [word for word in again if (word.start or 0.0) >= spoken.start - _APART]
    text = " ".join(word.text for word in again)
    return MarkValues(
        id=REMARK_SPOKEN,
        what=f"a remark of {spoken.end - spoken.start:.0f} s was spoken",
        why="a remark may hold any words, and the recogniser knows those of the trade",
        clear="listen, and type it; or leave it as sound",
        candidates=(text,) if text else (),
    )


@lru_cache(maxsize=1)
def _cues() -> frozenset[str]:
    return frozenset(term.phrase for term in load_lexicon().terms.values() if term.tag == "REMARK")
