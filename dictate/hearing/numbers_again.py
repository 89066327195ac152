"""An animal that a roster expects is heard once more without the roster.

With a herd's numbers expected, a number that is none of them ("eighty eighty six") comes out as the
nearest that is ("eighteen eighty six"), and nothing in that hearing shows it.  What the roster
alone decided is no more certain than a half, and the other number is given on as another hearing.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from dictate.hearing.engine import Engine, EngineDescription, Heard
from dictate.sound import RATE, Sound
from grammar import Roster, Word, parse
from grammar.records import Slot

_AROUND = 0.7
"""Seconds before and after a number that are heard with it: the words beside it."""
_EDGE = 0.1
"""Seconds by which the two may place a word differently."""
_BY_ROSTER = 0.5
"""The most that a word is sure of where the two hearings differ."""


@dataclass(frozen=True, slots=True)
class NumbersAgain:
    """An engine that knows the herd's numbers, and the same without them."""

    engine: Engine
    without: Engine
    roster: Roster

    def hear(self, sound: Sound) -> Heard:
        """Recognise one sound; a number that only the roster made is doubtful."""
        heard = self.engine.hear(sound)
        for entry in parse(heard.words, roster=self.roster).entries:
            if entry.animal is not None and entry.animal.value in self.roster.numbers:
                heard = self._again(sound, heard, entry.animal)
        return heard

    def _again(self, sound: Sound, heard: Heard, animal: Slot[str]) -> Heard:
        said = heard.words[animal.first : animal.last]
        if not said or said[0].start is None or said[-1].end is None:
            return heard
        start, end = said[0].start, said[-1].end
        first = max(0.0, start - _AROUND)
        part = sound.samples[round(first * RATE) : round((end + _AROUND) * RATE)]
        again = self.without.hear(Sound.of(part))
        taken = replace(heard, seconds_taken=heard.seconds_taken + again.seconds_taken)
        other = _number_in([_later(word, first) for word in again.words], start, end)
        if other and _value(other) == animal.value:
            return taken
        return replace(
            taken,
            words=_doubtful(heard.words, said),
            alternatives=(
                *(_doubtful(one, said) for one in heard.alternatives),
                *_with_other(heard.words, animal, other),
            ),
        )

    def describe(self) -> EngineDescription:
        """Say which recogniser it is."""
        return self.engine.describe()

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return the words that can never be heard."""
        return self.engine.missing_words(words)


def _number_in(words: Sequence[Word], start: float, end: float) -> Sequence[Word]:
    """The words of an animal's number that lie between two times; a word cut at the edge is none."""
    found = next((e.animal for e in parse(words).entries if e.animal is not None), None)
    if found is None:
        return ()
    return [
        word
        for word in words[found.first : found.last]
        if start - _EDGE < ((word.start or 0.0) + (word.end or 0.0)) / 2 < end + _EDGE
    ]


def _value(number: Sequence[Word]) -> str | None:
    entries = parse([Word(text="number"), *number]).entries
    return entries[0].animal.value if entries and entries[0].animal else None


def _doubtful(words: Sequence[Word], said: Sequence[Word]) -> tuple[Word, ...]:
    """Return the words, those of a number at its place no surer than a half."""
    same = {(word.text, word.start) for word in said}
    return tuple(
        replace(word, confidence=min(word.confidence or 0.0, _BY_ROSTER))
        if (word.text, word.start) in same
        else word
        for word in words
    )


def _with_other(
    words: Sequence[Word], animal: Slot[str], other: Sequence[Word]
) -> tuple[tuple[Word, ...], ...]:
    if not other:
        return ()
    return ((*words[: animal.first], *other, *words[animal.last :]),)


def _later(word: Word, seconds: float) -> Word:
    return replace(
        word,
        start=None if word.start is None else round(word.start + seconds, 2),
        end=None if word.end is None else round(word.end + seconds, 2),
        confidence=min(word.confidence or 0.0, _BY_ROSTER),
    )
