"""Step 1: make a corpus of synthetic speech: `python -m dictate.training.synthesise FOLDER …`.

Resumable: what the table of the folder lists is not said again.
"""

import argparse
import random
import time
from collections.abc import Sequence
from pathlib import Path

import soundfile

from dictate.training.corpus import (
    RATE,
    TABLE,
    CorpusError,
    Utterance,
    append_to_corpus,
    read_corpus,
)
from dictate.training.texts import Note, say, with_pauses
from dictate.training.voices import is_reserved, speak, training_voices
from grammar import sample_note, vocabulary

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
    notes_only: bool = False,
    seconds_at_most: float = float("inf"),
) -> int:
    """Say `count` things in turn with every voice into `folder`; return how many are there.

    Raises CorpusError when a reserved voice would go into training.
    """
    reserved = [voice for voice in voices if is_reserved(voice)]
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
        words = say(rng, note=note, vocabulary=vocabulary, english=english, notes_only=notes_only)
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


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--voice", action="append", required=True,
                        help="flite, espeak, piper=FILE, kokoro=FOLDER, or one voice id")  # fmt: skip
    parser.add_argument("--english", type=Path, nargs="+", required=True,
                        help="corpora whose sentences are said too")  # fmt: skip
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--split", default="train", choices=["train", "dev"])
    parser.add_argument("--notes-only", action="store_true", help="for measuring on notes")
    parser.add_argument("--minutes", type=float, default=float("inf"))
    options = parser.parse_args(arguments)
    sentences = {one.text for folder in options.english for one in read_corpus(folder) if one.text}
    count = synthesise(
        options.folder,
        voices=[voice for kind in options.voice for voice in training_voices(kind)],
        count=options.count,
        seed=options.seed,
        note=lambda rng: sample_note(rng).words,
        vocabulary=sorted(vocabulary()),
        english=sorted(sentences),
        split=options.split,
        notes_only=options.notes_only,
        seconds_at_most=options.minutes * 60,
    )
    print(f"{count} recordings in {options.folder}")  # noqa: T201


if __name__ == "__main__":
    main()
