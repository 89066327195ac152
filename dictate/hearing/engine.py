"""What every recogniser looks like to the rest of the program, and opening the one that fits."""

import logging
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from dictate.decoder.herd import herd_model
from dictate.decoder.model_files import bundled_model, open_folder
from dictate.decoder.terms import Term, load_terms
from dictate.settings import home_folder
from grammar import Word

if TYPE_CHECKING:
    from dictate.sound import Sound
    from grammar import Roster

SHIFTS = (0, 80, 200)
"""Samples of silence put before a sound, one after the other, until the recogniser neither fails on it nor takes the
program down with it: in some six thousand noisy sounds Vosk failed on one ("topological sorting of state-level
lattice failed"), which a few milliseconds more at its beginning cured."""


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
    voice: bool = False
    """Whether the model has learnt its speaker's voice."""


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


_log = logging.getLogger(__name__)
GRAPHS = "graphs"
"""Folder of kept graphs in the home folder."""


def open_engine(
    model: Path | None = None,
    *,
    roster: "Roster | None" = None,
    terms: Sequence[Term] | None = None,
    home: Path | None = None,
    second: Path | None = None,
) -> "Engine":
    """Open a recogniser.

    Args:
        model: a Vosk model folder; none means the bundled model.
        roster: a herd whose numbers to expect.
        terms: taught terms; none means those of the home folder.
        home: home folder of the program, where graphs are kept; none means the usual one.
        second: a faster-whisper model that hears every sound again.

    Raises:
        ModelError: the model is missing, altered or unsuitable.
    """
    if second is not None:
        from dictate.hearing.agreement import TwoListeners  # noqa: PLC0415
        from dictate.hearing.second_listener import SecondListener  # noqa: PLC0415 (optional)

        listener = SecondListener(second, roster=roster)
        first = open_engine(model, roster=roster, terms=terms, home=home)
        return TwoListeners(first=first, second=listener)
    from dictate.decoder.sampling import spoken_numbers  # noqa: PLC0415 (the grammar is slow to load)
    from dictate.hearing.numbers_again import NumbersAgain  # noqa: PLC0415 (so is Vosk)
    from dictate.hearing.remarks import RemarksApart  # noqa: PLC0415 (so is Vosk)
    from dictate.hearing.vosk_engine import VoskEngine  # noqa: PLC0415

    home = home or home_folder()
    folder = open_folder(model or bundled_model())
    taught = load_terms(home) if terms is None else tuple(terms)
    spoken = spoken_numbers(roster)
    if folder.takes_herd:
        if not spoken and not taught:
            return RemarksApart(VoskEngine(folder))
        herds = herd_model(folder, spoken=spoken, terms=taught, kept_in=home / GRAPHS)
        engine = VoskEngine(herds)
        if roster is None or not spoken:
            return RemarksApart(engine)
        return RemarksApart(NumbersAgain(engine, without=VoskEngine(folder), roster=roster))
    from dictate.decoder.run_time_words import expect  # noqa: PLC0415

    words = expect(VoskEngine(folder).missing_words, spoken=spoken)
    if words.missing:
        _log.warning("model_lacks words=%d: %s", len(words.missing), ", ".join(words.missing))
    phrases = words.phrases if folder.takes_grammar else ()
    return RemarksApart(VoskEngine(folder, phrases=phrases, spelt=words.spelt))
