"""Step 1: make a corpus of synthetic speech: `python -m dictate.training.synthesise FOLDER …`.

What is said by whom is planned first, where the grammar is; `--plan` writes that down, and
`--from-plan` has it said on a machine that has more cores and needs no grammar. Resumable: what
the table of the folder lists is not said again.
"""

import argparse
import json
import multiprocessing
import random
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import asdict, dataclass
from pathlib import Path

import soundfile

from dictate.training import CorpusError
from dictate.training.corpus import RATE, TABLE, Utterance, append_to_corpus, read_corpus
from dictate.training.texts import Note, say, with_pauses
from dictate.training.voices import is_reserved, speak, training_voices


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """One thing to be said."""

    name: str
    """Of the utterance; also draws pace and pitch."""
    voice: str
    split: str
    text: str
    """Lower-case words, a comma where the voice pauses."""


def plan(
    *,
    voices: Sequence[str],
    count: int,
    seed: int,
    note: Note,
    vocabulary: Sequence[str],
    english: Sequence[str],
    split: str = "train",
    notes_only: bool = False,
) -> Iterator[Planned]:
    """Yield `count` things to say, in turn with every voice.

    Raises CorpusError when a reserved voice would go into training.
    """
    _refuse_reserved(voices, split)
    for i in range(count):
        rng = random.Random(f"{seed}/{i}")
        words = say(rng, note=note, vocabulary=vocabulary, english=english, notes_only=notes_only)
        if words:
            yield Planned(
                name=f"s{seed}_{i:06d}", voice=voices[i % len(voices)], split=split,
                text=with_pauses(words, rng),
            )  # fmt: skip


def _refuse_reserved(voices: Sequence[str], split: str) -> None:
    reserved = sorted({voice for voice in voices if is_reserved(voice)})
    if split == "train" and reserved:
        raise CorpusError(f"reserved for measuring: {', '.join(reserved)}")


def write_plan(path: Path, planned: Sequence[Planned]) -> None:
    """Write one JSON object a line."""
    lines = "".join(json.dumps(asdict(one)) + "\n" for one in planned)
    path.write_text(lines, encoding="utf-8")


def read_plan(path: Path) -> list[Planned]:
    """Read what `write_plan` wrote."""
    lines = path.read_text(encoding="utf-8").splitlines()
    return [Planned(**json.loads(line)) for line in lines]


def synthesise(
    folder: Path, planned: Sequence[Planned], *, seconds_at_most: float = float("inf"),
    processes: int = 1,
) -> int:  # fmt: skip
    """Say what is planned into `folder`; return how many recordings are there.

    Stops after `seconds_at_most` with what it has. Raises CorpusError when a reserved voice would
    go into training.
    """
    for split in {one.split for one in planned}:
        _refuse_reserved([one.voice for one in planned if one.split == split], split)
    folder.mkdir(parents=True, exist_ok=True)
    done = {one.name for one in read_corpus(folder)} if (folder / TABLE).is_file() else set()
    left = [one for one in planned if one.name not in done]
    end = time.monotonic() + seconds_at_most
    spoken = _spoken_by_many if processes > 1 else _spoken
    for one in spoken(folder, left, end, processes):
        append_to_corpus(folder, one)
        done.add(one.name)
    return len(done)


def _spoken(
    folder: Path, planned: Sequence[Planned], end: float, _processes: int
) -> Iterator[Utterance]:
    for one in planned:
        if time.monotonic() > end:
            return
        yield _say(folder, one)


def _spoken_by_many(
    folder: Path, planned: Sequence[Planned], end: float, processes: int
) -> Iterator[Utterance]:
    # Not forked: a voice's runtime may have threads.
    spawned = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(processes, mp_context=spawned) as pool:
        waiting = [pool.submit(_say, folder, one) for one in planned]
        for finished in as_completed(waiting):
            yield finished.result()
            if time.monotonic() > end:
                pool.shutdown(cancel_futures=True)
                return


def _say(folder: Path, one: Planned) -> Utterance:
    samples = speak(one.voice, one.text, random.Random(f"{one.name}/{one.voice}"))
    path = folder / f"{one.name}.ogg"
    save_speech(path, samples)
    return Utterance(
        corpus=folder.name, name=one.name, speaker=one.voice.rsplit("/", 1)[-1], split=one.split,
        seconds=len(samples) / RATE, text=one.text.replace(",", ""), path=path,
    )  # fmt: skip


def save_speech(path: Path, samples) -> None:  # noqa: ANN001
    """Write int16 16 kHz samples as Opus in Ogg, about 2.5 kB a second."""
    soundfile.write(path, samples, RATE, format="OGG", subtype="OPUS", compression_level=0.85)


def _planned_from(options: argparse.Namespace) -> list[Planned]:
    # A machine that only says a plan need not have the grammar.
    from grammar import sample_note, vocabulary  # noqa: PLC0415

    sentences = {one.text for folder in options.english for one in read_corpus(folder) if one.text}
    planned = plan(
        voices=[voice for kind in options.voice for voice in training_voices(kind)],
        count=options.count,
        seed=options.seed,
        note=lambda rng: sample_note(rng).words,
        vocabulary=sorted(vocabulary()),
        english=sorted(sentences),
        split=options.split,
        notes_only=options.notes_only,
    )
    return list(planned)


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--voice", action="append",
                        help="flite, espeak, piper=FILE, kokoro=FOLDER, or one voice id")  # fmt: skip
    parser.add_argument("--english", type=Path, nargs="+",
                        help="corpora whose sentences are said too")  # fmt: skip
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--split", default="train", choices=["train", "dev"])
    parser.add_argument("--notes-only", action="store_true", help="for measuring on notes")
    parser.add_argument("--minutes", type=float, default=float("inf"))
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--plan", type=Path, help="write the plan here and say nothing")
    parser.add_argument("--from-plan", type=Path, help="say what is planned there")
    options = parser.parse_args(arguments)
    if not options.from_plan and not (options.voice and options.english):
        parser.error("--voice and --english are needed, or --from-plan")
    planned = read_plan(options.from_plan) if options.from_plan else _planned_from(options)
    if options.plan:
        write_plan(options.plan, planned)
        print(f"{len(planned)} planned in {options.plan}")  # noqa: T201
        return
    seconds = options.minutes * 60
    count = synthesise(
        options.folder, planned, seconds_at_most=seconds, processes=options.processes
    )
    print(f"{count} recordings in {options.folder}")  # noqa: T201


if __name__ == "__main__":
    main()
