"""Step 3, once more: send a pack through telephones: `python -m dictate.training.recode PACK OUT …`.

Writes a second pack of the training speech, each recording having gone through one codec drawn
at random, most of them at the 8 kHz of a telephone line. Augmentation in training only imitates
codecs; these are real ones, as libsndfile has them.
"""

import argparse
import io
import json
import multiprocessing
import random
import re
import shutil
from collections.abc import Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np
import soundfile
import soxr

from dictate.training.corpus import RATE


@dataclass(frozen=True, slots=True, kw_only=True)
class Codec:
    """How libsndfile is to write it."""

    format: str
    subtype: str
    rate: int
    """Hertz."""
    compression: float | None = None
    """0 to 1, where the format has it."""


CODECS: Mapping[str, Codec] = {
    "mu-law": Codec(format="WAV", subtype="ULAW", rate=8000),
    "a-law": Codec(format="WAV", subtype="ALAW", rate=8000),
    "gsm": Codec(format="WAV", subtype="GSM610", rate=8000),
    "adpcm": Codec(format="WAV", subtype="IMA_ADPCM", rate=8000),
    "g721": Codec(format="AU", subtype="G721_32", rate=8000),
    "opus-narrow": Codec(format="OGG", subtype="OPUS", rate=8000, compression=1.0),
    "opus": Codec(format="OGG", subtype="OPUS", rate=16000, compression=0.99),
    "vorbis": Codec(format="OGG", subtype="VORBIS", rate=8000, compression=0.9),
    "plain-8k": Codec(format="WAV", subtype="PCM_16", rate=8000),
}
"""Landline, mobile (GSM full rate, ITU-T G.721), messages (Opus at 6 to 9 kbit/s), plain 8 kHz."""
_GAINS = (-20.0, -1.0)
"""Decibels below full scale of the peak on its way into the codec."""


def through(codec: Codec, samples: np.ndarray, peak: float = 0.5) -> np.ndarray:
    """Encode and decode int16 samples at 16 kHz; as many int16 samples come back.

    `peak` (of full scale, 0 to 1) is where the loudest sample lies in the codec.
    """
    loudest = max(1, int(np.abs(samples.astype(np.int32)).max(initial=0)))
    sound = soxr.resample(samples.astype(np.float32) * (peak / loudest), RATE, codec.rate)
    file = io.BytesIO()
    level = {} if codec.compression is None else {"compression_level": codec.compression}
    soundfile.write(
        file, sound.clip(-1, 1), codec.rate, format=codec.format, subtype=codec.subtype, **level
    )
    file.seek(0)
    decoded, rate = soundfile.read(file, dtype="float32")
    back = soxr.resample(decoded, rate, RATE)[: len(samples)]
    whole = np.pad(back, (0, len(samples) - len(back)))
    return (whole * (loudest / peak)).round().clip(-32768, 32767).astype(np.int16)


def recode(
    folder: Path, out: Path, *, corpora: str = ".*", seed: int = 0, processes: int = 1
) -> int:
    """Write the pack `out` from the training recordings in `folder`; return how many.

    `corpora` is a pattern of the corpora to take. Rows keep corpus and name, so pronunciations
    chosen by alignment and cut words hold for both.
    """
    out.mkdir(parents=True, exist_ok=True)
    rows = json.loads((folder / "utterances.json").read_text(encoding="utf-8"))
    fitting = re.compile(corpora)
    rows = [r for r in rows if r["split"] == "train" and fitting.fullmatch(r["corpus"])]
    parts = [rows[at : at + 200] for at in range(0, len(rows), 200)]
    # Not forked: PyTorch may have threads.
    spawned = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(processes, mp_context=spawned) as pool:
        sounds = [
            sound for some in pool.map(partial(_recode_some, folder, seed), parts) for sound in some
        ]
    start = 0
    for row in rows:
        row["start"] = start
        start += row["length"]
    np.save(out / "audio.npy", np.concatenate(sounds))
    (out / "utterances.json").write_text(json.dumps(rows), encoding="utf-8")
    shutil.copyfile(folder / "lexicon.json", out / "lexicon.json")
    if (folder / "cuts.json").is_file():
        keys = {f"{row['corpus']}/{row['name']}" for row in rows}
        cuts = json.loads((folder / "cuts.json").read_text(encoding="utf-8"))
        kept = [cut for cut in cuts if cut["key"] in keys]
        (out / "cuts.json").write_text(json.dumps(kept), encoding="utf-8")
    return len(rows)


def _recode_some(folder: Path, seed: int, rows: Sequence[Mapping]) -> list[np.ndarray]:
    audio = np.load(folder / "audio.npy", mmap_mode="r")
    sounds = []
    for row in rows:
        rng = random.Random(f"{seed}/{row['corpus']}/{row['name']}")
        codec = CODECS[rng.choice(sorted(CODECS))]
        peak = 10 ** (rng.uniform(*_GAINS) / 20)
        samples = np.array(audio[row["start"] : row["start"] + row["length"]])
        sounds.append(through(codec, samples, peak))
    return sounds


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("pack", type=Path)
    parser.add_argument("out", type=Path, help="pack to write")
    parser.add_argument("--corpora", default=".*", help="pattern of the corpora to take")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--processes", type=int, default=1)
    options = parser.parse_args(arguments)
    count = recode(
        options.pack, options.out, corpora=options.corpora, seed=options.seed,
        processes=options.processes,
    )  # fmt: skip
    print(f"{count} recordings in {options.out}")  # noqa: T201


if __name__ == "__main__":
    main()
