"""Step 1: make a corpus of synthetic speech: `python -m dictate.acoustic.synthesise FOLDER …`.

Resumable: what the table of the folder lists is not said again.
"""

import random
import time
from collections.abc import Sequence
from pathlib import Path

import soundfile

from dictate.acoustic.corpus import (
    RATE,
    TABLE,
    CorpusError,
    Utterance,
    append_to_corpus,
    read_corpus,
)
from dictate.acoustic.texts import Note, say, with_pauses
from dictate.acoustic.voices import RESERVED_VOICES, speak

__all__ = ["main", "synthesise"]


def synthesise(
    folder: Path,
    *,
    voices: Sequence[str],
    count: int,
    seed: int,
    note: Note,
    vocabulary: Sequence[str],
    english: Sequence[str],
    split: str = "train",
    seconds_at_most: float = float("inf"),
) -> int:
    """Say `count` things in turn with every voice into `folder`; return how many are there.

    Raises CorpusError when a reserved voice would go into training.
    """
    reserved = sorted(set(voices) & set(RESERVED_VOICES))
    if split == "train" and reserved:
        raise CorpusError(f"reserved for measuring: {', '.join(reserved)}")
    folder.mkdir(parents=True, exist_ok=True)
    done = {one.name for one in read_corpus(folder)} if (folder / TABLE).is_file() else set()
    start = time.monotonic()
    for i in range(count):
        name = f"s{seed}_{i:06d}"
        if name in done:
            continue
        if time.monotonic() - start > seconds_at_most:
            break
        rng = random.Random(f"{seed}/{i}")
        voice = voices[i % len(voices)]
        words = say(rng, note=note, vocabulary=vocabulary, english=english)
        if not words:
            continue
        samples = speak(voice, with_pauses(words, rng), rng)
        path = folder / f"{name}.ogg"
        save_speech(path, samples)
        one = Utterance(
            corpus=folder.name, name=name, speaker=voice.rsplit("/", 1)[-1], split=split,
            seconds=len(samples) / RATE, text=" ".join(words), path=path,
        )  # fmt: skip
        append_to_corpus(folder, one)
        done.add(name)
    return len(done)


def save_speech(path: Path, samples) -> None:  # noqa: ANN001
    """Write int16 16 kHz samples as Opus in Ogg, about 2.5 kB a second."""
    soundfile.write(path, samples, RATE, format="OGG", subtype="OPUS", compression_level=0.85)
