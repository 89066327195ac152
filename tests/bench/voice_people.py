"""Make folders of people for voice_commands.py from single spoken digits of many people.

    python tests/bench/voice_people.py CLIPS... --out PEOPLE [--seed N] [--least 24] [--people NAME...]

CLIPS holds sound and a transcripts.tsv with `speaker` and one digit a line, as made from Speech
Commands (Warden 2018, CC BY 4.0).  For each person with at least so many clips (or for those that
are named) half of the clips of each digit make strings of two to four to learn from, 20 or more and
60 s or more; the others make 32 strings of three to five to test, as they are (`test`), under made-up
machines at 5 dB (`test-machines`), through a telephone (`test-phone`: 300 to 3,400 Hz, mu-law) and in
a made-up room (`test-room`: 0.4 s to die away, the direct sound 3 dB above the rest).  All at 8 kHz.

Clips on which nothing was said, or whose word runs over an end, are left out of the tests by level
alone, and those in which two other recognisers hear another word; learnt from are all.
"""

import argparse
import csv
import random
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soundfile

from dictate.sound import RATE, read_sound
from dictate.sound.chute_noise import add_noise, chute_noise

DIGITS = frozenset("zero one two three four five six seven eight nine".split())
OTHERWISE = frozenset(
    "four_46a153d8_3 three_46a153d8_1 four_10ace7eb_4 one_763188c4_2 eight_190821dc_0 "
    "four_190821dc_4 one_190821dc_2 zero_190821dc_1".split()
)
"""Neither Whisper base nor PocketSphinx hears the label alone."""
_BAND_HZ = 3800


@dataclass(frozen=True, slots=True)
class Clip:
    """One digit."""

    word: str
    samples: np.ndarray
    sound: bool
    """Fit to be tested with."""


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("clips", nargs="+", type=Path)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--least", type=int, default=24)
    parser.add_argument("--people", nargs="*", default=[])
    asked = parser.parse_args()
    paths: dict[str, dict[Path, str]] = defaultdict(dict)
    for folder in asked.clips:
        files = {path.stem: path for path in folder.iterdir() if path.suffix != ".tsv"}
        with (folder / "transcripts.tsv").open(encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE):
                if row["text"] in DIGITS:
                    paths[row["speaker"]][files[row["utterance"]]] = row["text"]
    people = asked.people or [who for who in sorted(paths) if len(paths[who]) >= asked.least]
    for who in people:
        learn, tests = _person(_clips(paths[who]), random.Random(f"{who}/{asked.seed}"))
        _write(asked.out / who / "learn", learn)
        for name, change in CHANGES.items():
            _write(asked.out / who / name, [(change(y, at), w) for at, (y, w) in enumerate(tests)])
        print(f"{who}: {len(paths[who])} clips, {len(learn)} strings to learn from", flush=True)


def _clips(paths: dict[Path, str]) -> list[Clip]:
    read = [(path, word, read_sound(path).samples) for path, word in sorted(paths.items())]
    loud = {path: _loudness(samples) for path, _, samples in read}
    middle = float(np.median([most for most, _ in loud.values()]))
    return [
        Clip(
            word, _cut(samples),
            loud[path][0] >= middle / 8  # 18 dB under the person's usual: nothing was said
            and loud[path][1] <= 0.35 * loud[path][0]  # the word runs over the beginning or the end
            and path.stem not in OTHERWISE,
        )
        for path, word, samples in read
    ]  # fmt: skip


def _loudness(samples: np.ndarray) -> tuple[float, float]:
    """Of the loudest 50 ms, and of the louder edge."""
    power = samples.astype(np.float64) ** 2
    most = float(np.sqrt(np.convolve(power, np.ones(800) / 800, "same").max()))
    return most, float(np.sqrt(max(power[:400].mean(), power[-400:].mean())))


def _cut(samples: np.ndarray) -> np.ndarray:
    """The word with 60 ms around."""
    level = np.convolve(np.abs(samples.astype(np.float64)), np.ones(400) / 400, "same")
    on = np.flatnonzero(level > 0.12 * level.max())
    return samples[max(0, on[0] - 1000) : on[-1] + 1000]


Spoken = tuple[np.ndarray, list[str]]


def _person(clips: Sequence[Clip], rng: random.Random) -> tuple[list[Spoken], list[Spoken]]:
    learn: list[Clip] = []
    test: list[Clip] = []
    for word in sorted({clip.word for clip in clips}):
        some = [clip for clip in clips if clip.word == word]
        if len(some) < 2:
            continue
        rng.shuffle(some)
        half = min(max(1, round(len(some) * 0.55)), len(some) - 1)
        learn += some[:half]
        test += [clip for clip in some[half:] if clip.sound]
    deck: list[Clip] = []
    strings: list[Spoken] = []
    while len(strings) < 20 or sum(len(y) for y, _ in strings) < 60 * RATE:
        count = rng.choice([2, 3, 3, 4])
        if len(deck) < count:
            deck = rng.sample(learn, len(learn)) + deck
        strings.append(_string([deck.pop() for _ in range(count)], rng))
    tests = [
        _string([rng.choice(test) for _ in range(rng.choice([3, 4, 5]))], rng) for _ in range(32)
    ]
    return strings, tests


def _string(some: Sequence[Clip], rng: random.Random) -> Spoken:
    parts = [np.zeros(4800, np.int16)]
    for clip in some:
        parts += [clip.samples, np.zeros(int(rng.uniform(0.05, 0.25) * RATE), np.int16)]
    joined = np.concatenate([*parts, np.zeros(4800, np.int16)]).astype(np.float64)
    joined += np.random.default_rng(rng.randrange(9**9)).normal(0, 4, len(joined))
    return _rounded(_band(joined, 0, _BAND_HZ)), [clip.word for clip in some]


def _band(samples: np.ndarray, least: float, most: float) -> np.ndarray:
    waves = np.fft.rfft(samples)
    hertz = np.fft.rfftfreq(len(samples), 1 / RATE)
    waves[(hertz < least) | (hertz > most)] = 0
    return np.fft.irfft(waves, len(samples))


def _rounded(samples: np.ndarray) -> np.ndarray:
    return samples.round().clip(-32767, 32767).astype(np.int16)


def _machines(samples: np.ndarray, at: int) -> np.ndarray:
    noise = chute_noise(len(samples) / RATE + 0.1, np.random.default_rng(at))
    return add_noise(samples, noise[: len(samples)], snr_db=5.0)


def _phone(samples: np.ndarray, _at: int) -> np.ndarray:
    """ITU-T G.711's curve, eight bits, in the band of a telephone."""
    x = _band(samples.astype(np.float64), 300, 3400) / 32768
    bent = np.sign(x) * np.log1p(255 * np.abs(x).clip(0, 1)) / np.log(256)
    bent = (bent * 127).round() / 127
    return _rounded(np.sign(bent) * (256 ** np.abs(bent) - 1) / 255 * 32768)


def _room(samples: np.ndarray, at: int) -> np.ndarray:
    rng = np.random.default_rng(at)
    tail = rng.normal(size=int(0.4 * RATE)) * 10 ** (-3 * np.arange(int(0.4 * RATE)) / (0.4 * RATE))
    tail[:80] = 0
    tail *= 10 ** (-3 / 20) / np.sqrt((tail**2).sum())
    tail[0] = 1.0
    wet = np.convolve(samples.astype(np.float64), tail)[: len(samples)]
    return _rounded(wet * np.abs(samples).max() / max(np.abs(wet).max(), 1))


CHANGES: dict[str, Callable[[np.ndarray, int], np.ndarray]] = {
    "test": lambda samples, _at: samples,
    "test-machines": _machines,
    "test-phone": _phone,
    "test-room": _room,
}


def _write(folder: Path, spoken: Iterable[Spoken]) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / "transcripts.tsv").open("w", encoding="utf-8") as file:
        file.write("utterance\ttext\n")
        for at, (samples, words) in enumerate(spoken):
            soundfile.write(folder / f"u{at:03d}.wav", samples, RATE, subtype="PCM_16")
            file.write(f"u{at:03d}\t{' '.join(words)}\n")


if __name__ == "__main__":
    main()
