"""Step 2: decode corpora once into one file of samples: `python -m dictate.training.pack …`.

A pack is a folder with `audio.npy` (int16, all recordings end to end), `utterances.json` (where
each lies and what was said) and `lexicon.json` (how words sound).
"""

import argparse
import json
import logging
import multiprocessing
import re
from collections.abc import Iterable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np
import soundfile

from dictate.training.corpus import Utterance, read_audio, read_corpus

logger = logging.getLogger(__name__)


def pack(
    folders: Iterable[Path],
    lexicon: Mapping[str, Sequence[str]],
    out: Path,
    *,
    held_out: Sequence[str] = (),
    processes: int = 1,
) -> list[dict]:
    """Write the pack and return its rows.

    Utterances with a word that the lexicon lacks, and files that cannot be decoded, are left out. `held_out` are patterns of
    `corpus/speaker` whose speakers move from training to dev.
    """
    out.mkdir(parents=True, exist_ok=True)
    chosen = [
        one
        for folder in folders
        for one in read_corpus(folder)
        if all(word in lexicon for word in one.text.split())
    ]
    moved = re.compile("|".join(held_out) or r"(?!)")
    rows: list[dict] = []
    sounds: list[np.ndarray] = []
    start = 0
    # Not forked: PyTorch may have threads.
    spawned = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(processes, mp_context=spawned) as pool:
        for one, sound in zip(chosen, pool.map(_decode, chosen, chunksize=32), strict=True):
            if sound is None:
                logger.warning("cannot decode %s", one.path)
                continue
            split = "dev" if moved.fullmatch(f"{one.corpus}/{one.speaker}") else one.split
            rows.append(
                {"corpus": one.corpus, "name": one.name, "speaker": one.speaker, "split": split,
                 "start": start, "length": len(sound), "text": one.text}
            )  # fmt: skip
            sounds.append(sound)
            start += len(sound)
    np.save(out / "audio.npy", np.concatenate(sounds))
    (out / "utterances.json").write_text(json.dumps(rows), encoding="utf-8")
    (out / "lexicon.json").write_text(json.dumps(dict(lexicon)), encoding="utf-8")
    return rows


def _decode(one: Utterance) -> np.ndarray | None:
    try:
        return read_audio(one.path)
    except soundfile.LibsndfileError:
        return None


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("out", type=Path)
    parser.add_argument("corpora", type=Path, nargs="+", help="corpus folders")
    parser.add_argument("--lexicon", type=Path, required=True)
    parser.add_argument("--held-out", action="append", default=[], help="pattern corpus/speaker")
    parser.add_argument("--processes", type=int, default=1)
    options = parser.parse_args(arguments)
    lexicon = json.loads(options.lexicon.read_text(encoding="utf-8"))
    rows = pack(
        options.corpora, lexicon, options.out,
        held_out=options.held_out, processes=options.processes,
    )  # fmt: skip
    hours = sum(row["length"] for row in rows) / 16000 / 3600
    print(f"{len(rows)} utterances, {hours:.2f} h")  # noqa: T201


if __name__ == "__main__":
    main()
