"""The clips of the demo day, and an engine that knows beforehand what each sound says."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from dictate.hearing.engine import EngineDescription, Heard
from grammar import Word

if TYPE_CHECKING:
    from dictate.sound import Sound

DEMO = Path(__file__).parents[1] / "demo_audio"
CLIPS = sorted(DEMO.glob("*.opus"))


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
