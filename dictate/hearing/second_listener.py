"""The evening's second listener: a Whisper-class model hears a clip again, from a local folder.

It is slow and open-vocabulary, so it stays off the live path and its words go through the same
grammar.  It never decides alone: what it hears differently is offered, and marked.
"""

import logging
import time
from collections.abc import Iterable, Sequence
from importlib.metadata import version
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np

from dictate.errors import ModelError
from dictate.hearing.agreement import sureness_of
from dictate.hearing.engine import EngineDescription, Heard
from dictate.sound import Sound
from grammar import Roster, Word
from grammar.hear.words import split_text

_WEIGHTS = "model.bin"
_PROMPT_TERMS = (
    "left hind outer claw, sole ulcer, zone four, rubber block on the inner claw, white line, "
    "digital dermatitis, M two, corium, interdigital hyperplasia, heel horn erosion, salicylic acid, "
    "corkscrew claw, foul, look again in two weeks"
)
_PROMPT_CHARACTERS_MAX = 600
"""Whisper keeps 224 tokens of a prompt and drops the start without a word: ours never gets there."""

_LOOP_RATIO = 2.4
"""Compression ratio of a text above which Whisper repeats itself (the limit of its own authors)."""
_TOKENS_A_SECOND, _TOKENS_LEAST = 10, 16
"""More than anybody says; on short sounds Whisper may go on and on."""

_ECHO_BELOW = 0.1
"""Mean probability of words that are made up: in noise Whisper writes its prompt down, or a phrase."""

_log = logging.getLogger(__name__)


def prompt_for(roster: Roster | None) -> str:
    """Return a prompt with the trade's words and as many of the herd's numbers as fit."""
    prompt = f"Cow, heifer, {_PROMPT_TERMS}."  # no number: it would be heard where none was said
    left_out = 0
    for number in roster.numbers if roster else ():
        longer = f"{prompt} {number}"
        if len(longer) <= _PROMPT_CHARACTERS_MAX:
            prompt = longer
        else:
            left_out += 1
    if left_out:
        _log.info("prompt_shortened numbers_left_out=%d", left_out)
    return prompt


def check_folder(folder: Path) -> None:
    """See that a second listener can be opened from a folder, without loading it.

    Raises:
        ModelError: the extra is not installed, or the folder is not a faster-whisper model.
    """
    if not (folder / _WEIGHTS).exists():
        raise ModelError(
            "not a faster-whisper model: model.bin missing",
            where=str(folder),
            remedy="See docs/how-to/second-listener.md for how to get one",
        )
    if find_spec("faster_whisper") is None:
        raise ModelError(
            "the second listener is not installed",
            where="faster-whisper",
            remedy='pip install "dictate[second-listener]"',
        )


class SecondListener:
    """faster-whisper behind the engine interface; never reaches for the network."""

    def __init__(
        self,
        folder: Path,
        *,
        roster: Roster | None = None,
        prompt: str | None = None,
        threads: int = 0,
    ) -> None:
        """Load the model.

        Args:
            folder: a faster-whisper model.
            roster: a herd whose numbers to expect.
            prompt: words to expect; none means the trade's.
            threads: cores to use; 0 for all.

        Raises:
            ModelError: the extra is not installed, or the folder is not a faster-whisper model.
        """
        check_folder(folder)
        from faster_whisper import WhisperModel  # noqa: PLC0415 (an extra)

        self._folder = folder
        self._prompt = (prompt or prompt_for(roster))[:_PROMPT_CHARACTERS_MAX]
        self._model = WhisperModel(
            str(folder),
            device="cpu",
            compute_type="int8",
            cpu_threads=threads,
            local_files_only=True,
        )

    def hear(self, sound: Sound) -> Heard:
        """Recognise one sound."""
        began = time.perf_counter()
        segments, _ = self._model.transcribe(
            sound.samples.astype(np.float32) / 32768,
            language="en",
            temperature=0.0,
            max_new_tokens=_TOKENS_LEAST + int(_TOKENS_A_SECOND * sound.seconds),
            initial_prompt=self._prompt,
            condition_on_previous_text=False,
            word_timestamps=True,
            vad_filter=True,
        )
        words = tuple(_words(segments))
        return Heard(
            words=words if sureness_of(words) >= _ECHO_BELOW else (),
            engine=f"faster-whisper {version('faster-whisper')}",
            model=self._folder.name,
            seconds_audio=sound.seconds,
            seconds_taken=time.perf_counter() - began,
        )

    def describe(self) -> EngineDescription:
        """Say which recogniser and model it is."""
        return EngineDescription(
            engine="faster-whisper",
            version=version("faster-whisper"),
            model=self._folder.name,
            path=self._folder,
        )

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return nothing: it can write any word."""
        del words
        return ()


def _words(segments: Iterable[Any]) -> Iterable[Word]:
    """Split Whisper's written words ("412,", "re-block") as typed text is split."""
    for segment in segments:
        if segment.compression_ratio > _LOOP_RATIO:
            continue
        for written in segment.words or ():
            parts: Sequence[Word] = split_text(written.word)
            for part in parts:
                yield Word(
                    text=part.text,
                    start=round(float(written.start), 2),
                    end=round(float(written.end), 2),
                    confidence=round(float(written.probability), 4),
                )
