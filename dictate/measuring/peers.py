"""Other recognisers behind the engine interface, to measure against; never needed by users."""

import tempfile
import time
from collections.abc import Iterable, Sequence
from importlib.metadata import version
from pathlib import Path
from typing import Any

from dictate.decoder.language import LanguageModel, write_arpa
from dictate.decoder.pronunciation import Pronunciations
from dictate.errors import ModelError
from dictate.hearing.engine import EngineDescription, Heard
from dictate.sound import Sound
from grammar import Word


class PocketSphinxEngine:
    """PocketSphinx with its own English sounds and our pronunciations and language model."""

    def __init__(self, language: LanguageModel, pronounced: Pronunciations) -> None:
        """Load the recogniser.

        Raises:
            ModelError: the package is not installed.
        """
        try:
            from pocketsphinx import Decoder, get_model_path  # noqa: PLC0415
        except ImportError as error:
            raise ModelError(
                "not installed", where="pocketsphinx", remedy="pip install pocketsphinx"
            ) from error
        self._words = {word for word in language.words if word in pronounced}
        with tempfile.TemporaryDirectory() as folder:
            arpa, dictionary = Path(folder, "notes.lm"), Path(folder, "words.dict")
            arpa.write_text("\n".join(write_arpa(language)) + "\n", "utf-8")
            dictionary.write_text("".join(_dictionary(sorted(self._words), pronounced)), "utf-8")
            self._decoder: Any = Decoder(
                hmm=str(Path(get_model_path()) / "en-us" / "en-us"),
                lm=str(arpa),
                dict=str(dictionary),
                loglevel="FATAL",
            )

    def hear(self, sound: Sound) -> Heard:
        """Recognise one sound."""
        began = time.perf_counter()
        self._decoder.start_utt()
        self._decoder.process_raw(sound.samples.tobytes(), full_utt=True)
        self._decoder.end_utt()
        words = tuple(
            Word(text=segment.word.partition("(")[0], start=segment.start_frame / 100,
                 end=segment.end_frame / 100)
            for segment in self._decoder.seg() or ()
            if segment.word[0] not in "<["
        )  # fmt: skip
        return Heard(
            words=words,
            engine=f"pocketsphinx {version('pocketsphinx')}",
            model="en-us",
            seconds_audio=sound.seconds,
            seconds_taken=time.perf_counter() - began,
        )

    def describe(self) -> EngineDescription:
        """Say which recogniser and model it is."""
        return EngineDescription(
            engine="pocketsphinx", version=version("pocketsphinx"), model="en-us"
        )

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return the words outside its dictionary."""
        return tuple(sorted(set(words) - self._words))


def _dictionary(words: Sequence[str], pronounced: Pronunciations) -> Iterable[str]:
    for word in words:
        for number, variant in enumerate(pronounced[word], start=1):
            name = word if number == 1 else f"{word}({number})"
            yield f"{name} {' '.join(variant)}\n"
