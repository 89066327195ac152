"""What every recogniser looks like to the rest of the program: sound in, words out."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from grammar import Word

if TYPE_CHECKING:
    from dictate.sound import Sound


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """How well the words of one stretch of speech fit its sound."""

    start: float
    """Seconds from the start of the sound, as `end`."""
    end: float
    fit: float
    """Log likelihood a second, beside that of a good fit of the model: 0 is good, less is worse."""
    agreement: float
    """Mean log odds of its words being in the engine's other readings too."""
    machines: float = 0.0
    """How loud machines are: 0 where they are well below the voice, 1 where they equal it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """What an engine heard in one sound."""

    words: tuple[Word, ...]
    """The likeliest words, with times in seconds and confidences from 0 to 1."""
    alternatives: tuple[tuple[Word, ...], ...] = ()
    """Other readings of the whole sound, likeliest first."""
    fits: tuple[Fit, ...] = ()
    """How well each stretch of speech was understood, in order; empty where the engine cannot tell."""
    again: tuple[Word, ...] = ()
    """What a second listener heard, in its own words."""
    engine: str
    model: str
    """Name and version of the model."""
    seconds_audio: float
    seconds_taken: float

    @property
    def text(self) -> str:
        """The words in a line."""
        return " ".join(word.text for word in self.words)


@dataclass(frozen=True, slots=True, kw_only=True)
class EngineDescription:
    """Which recogniser it is."""

    engine: str
    version: str
    model: str
    path: Path | None = None


class Engine(Protocol):
    """A recogniser with its model loaded."""

    def hear(self, sound: "Sound") -> Heard:
        """Recognise one sound; the same sound always gives the same words."""
        ...

    def describe(self) -> EngineDescription:
        """Say which recogniser and model it is."""
        ...

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return the words that can never be heard, in alphabetical order."""
        ...


@dataclass(frozen=True, slots=True)
class FakeEngine:
    """An engine that knows beforehand what each sound says; for tests."""

    texts: Mapping[str, str]
    """SHA-256 of a sound's file to its words."""
    alternatives: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """SHA-256 to other readings of the sound."""
    seconds_a_word: float = 0.4

    def hear(self, sound: "Sound") -> Heard:
        """Return the words of a known sound; nothing for any other."""
        return Heard(
            words=self._words(self.texts.get(sound.sha256, "")),
            alternatives=tuple(map(self._words, self.alternatives.get(sound.sha256, ()))),
            engine="fake",
            model="none",
            seconds_audio=sound.seconds,
            seconds_taken=0.0,
        )

    def _words(self, text: str) -> tuple[Word, ...]:
        length = self.seconds_a_word
        return tuple(
            Word(text=word, start=length * at, end=length * (at + 1), confidence=1.0)
            for at, word in enumerate(text.split())
        )

    def describe(self) -> EngineDescription:
        """Say that it is a fake."""
        return EngineDescription(engine="fake", version="1", model="none")

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return nothing: any word can be put in its mouth."""
        del words
        return ()
