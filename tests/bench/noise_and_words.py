"""How loud may the machines be, and does denoising help? Word error against speech-to-noise ratio.

    python tests/bench/noise_and_words.py [--notes 40] [--seed 3] [--model DIR]

The same notes, said by flite and espeak-ng voices, are mixed with chute noise at falling ratios
and heard by the engine as they are, after spectral gating (package noisereduce, its defaults for
changing noise), and after a high-pass filter at 120 Hz. Prints word error in percent. Needs flite,
espeak-ng, and `pip install noisereduce` for its column.
"""

import argparse
import random
import sys
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from long_recording import say
from rapidfuzz.distance import Levenshtein
from scipy.signal import butter, sosfilt

from dictate.hearing import open_engine
from dictate.sound import RATE, Sound
from dictate.sound.chute_noise import add_noise, chute_noise
from grammar import sample_note

if TYPE_CHECKING:
    from collections.abc import Callable

VOICES = ("flite rms", "flite slt", "flite kal16", "espeak-ng en-gb-x-rp", "espeak-ng en-us")
RATIOS_DB = (24, 18, 12, 9, 6, 3, 0)


def as_it_is(samples: np.ndarray) -> np.ndarray:
    return samples


def high_pass(samples: np.ndarray) -> np.ndarray:
    return np.rint(sosfilt(butter(4, 120, "high", fs=RATE, output="sos"), samples)).astype(np.int16)


def spectral_gate(samples: np.ndarray) -> np.ndarray:
    import noisereduce

    clean = noisereduce.reduce_noise(
        y=samples.astype(np.float32) / 32768, sr=RATE, stationary=False
    )
    return np.rint(np.clip(clean, -1, 1) * 32767).astype(np.int16)


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--notes", type=int, default=40)
    parser.add_argument("--seed", type=int, default=3)
    parser.add_argument("--model", type=Path)
    options = parser.parse_args()
    ways: dict[str, Callable[[np.ndarray], np.ndarray]] = {
        "as it is": as_it_is,
        "high pass": high_pass,
    }
    if find_spec("noisereduce"):
        ways["spectral gate"] = spectral_gate
    engine = open_engine(options.model)
    chance = random.Random(options.seed)
    rng = np.random.default_rng(options.seed)
    notes = [sample_note(chance).words for _ in range(options.notes)]
    spoken = [say(" ".join(words), VOICES[i % len(VOICES)]) for i, words in enumerate(notes)]
    spoken = [
        np.concatenate([np.zeros(8000, np.int16), s, np.zeros(8000, np.int16)]) for s in spoken
    ]
    noises = [chute_noise(len(s) / RATE + 0.1, rng) for s in spoken]
    sys.stdout.write("ratio dB  " + "  ".join(f"{way:>13}" for way in ways) + "\n")
    for ratio in RATIOS_DB:
        mixed = [add_noise(s, n, snr_db=ratio) for s, n in zip(spoken, noises, strict=True)]
        errors = [word_error(engine, notes, map(way, mixed)) for way in ways.values()]
        sys.stdout.write(f"{ratio:8}  " + "  ".join(f"{error:12.1f}%" for error in errors) + "\n")
        sys.stdout.flush()


def word_error(engine, notes, sounds) -> float:
    wrong = total = 0
    for words, samples in zip(notes, sounds, strict=True):
        heard = [word.text for word in engine.hear(Sound.of(samples)).words]
        wrong += Levenshtein.distance(list(words), heard)
        total += len(words)
    return 100 * wrong / total


if __name__ == "__main__":
    main()
