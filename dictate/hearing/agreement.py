"""Two listeners: the second hears each sound again and says where it agrees.

Slots of the first reading that the second reading has too become more certain; those that it lacks
or has otherwise become so uncertain that they are marked, and the second's words go with the note
as one more alternative, so that both readings can be shown.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from dictate.hearing.certainty import slot_certainties
from dictate.hearing.engine import Engine, EngineDescription, Heard
from dictate.sound import Sound
from grammar import Reading, Roster, Word, parse, parse_best

__all__ = ["TwoListeners"]

_DOUBT_LEFT = 0.2
"""Of the doubt in a word, what is left when the second listener agrees."""
_CONTRADICTED_MAX = 0.2
"""Confidence of words that the second listener does not bear out; low enough for a mark."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoListeners:
    """An engine whose words a second one confirms or doubts."""

    first: Engine
    second: Engine
    roster: Roster | None = None

    def hear(self, sound: Sound) -> Heard:
        """Recognise one sound twice; the words are the first listener's."""
        heard = self.first.hear(sound)
        again = self.second.hear(sound)
        taken = heard.seconds_taken + again.seconds_taken
        if not heard.words or not again.words:
            others = (*heard.alternatives, again.words) if again.words else heard.alternatives
            return replace(heard, alternatives=others, seconds_taken=taken)
        words = self._weighed(heard.words, again.words)
        return replace(
            heard, words=words, alternatives=(*heard.alternatives, again.words), seconds_taken=taken
        )

    def _weighed(self, words: tuple[Word, ...], again: tuple[Word, ...]) -> tuple[Word, ...]:
        """Return the words with their confidences raised or lowered, slot by slot."""
        reading = parse_best([words], roster=self.roster)
        borne_out = set(_values(parse(again, roster=self.roster), self.roster))
        weighed = list(words)
        for slot, value, first, last in _spans(reading, self.roster):
            agreed = (slot, value) in borne_out
            for at in range(first, last):
                weighed[at] = _weigh(words[at], agreed=agreed)
        return tuple(weighed)

    def describe(self) -> EngineDescription:
        """Say which two recognisers these are."""
        first, second = self.first.describe(), self.second.describe()
        return replace(first, engine=f"{first.engine} and {second.engine}")

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return the words that the first listener can never hear."""
        return self.first.missing_words(words)


def _weigh(word: Word, *, agreed: bool) -> Word:
    if word.confidence is None:
        return word
    if agreed:
        return replace(word, confidence=round(1 - _DOUBT_LEFT * (1 - word.confidence), 4))
    return replace(word, confidence=min(word.confidence, _CONTRADICTED_MAX))


def _spans(reading: Reading, roster: Roster | None) -> Iterable[tuple[str, str, int, int]]:
    for entry in reading.entries:
        for slot in slot_certainties(entry, reading.words, roster):
            yield slot.slot.rpartition(".")[2], slot.value, slot.first, slot.last


def _values(reading: Reading, roster: Roster | None) -> Iterable[tuple[str, str]]:
    certain = tuple(replace(word, confidence=1.0) for word in reading.words)
    for entry in reading.entries:
        for slot in slot_certainties(entry, certain, roster):
            yield slot.slot.rpartition(".")[2], slot.value
