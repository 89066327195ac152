"""Fit `dictate/hearing/talk.toml`, and say what its limits leave aside and let by.

    python tests/bench/fit_talk.py --notes FOLDER... --talk FOLDER... [--snr 10 0] [--most 200]

Folders hold sound files, one note or one piece of talk in each (single words and numbers are notes
too). With --snr each file is heard once more under the machines of a chute at these levels. Every
folder is judged by the curve of `talk.toml`; the fit to all of them is printed last. For an honest
figure give folders whose speakers neither the model nor the curve has met.
"""

import argparse
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from dictate.decoder.language import FILLER
from dictate.hearing import Engine, open_engine
from dictate.hearing.hear_files import marked_entries
from dictate.hearing.talk import MAY_BE_TALK, judge
from dictate.notes.taking_in import find_files
from dictate.sound import Sound, read_sound
from dictate.sound.chute_noise import add_noise, chute_noise
from grammar import parse_best

_CLAIMS = ("findings", "actions", "follow_ups", "measures", "status", "locomotion")


@dataclass
class Counts:
    """What became of one folder's sounds."""

    sounds: int = 0
    seconds: float = 0.0
    left: int = 0
    marked: int = 0
    claiming: int = 0
    unmarked: int = 0
    """Claims without any mark."""
    filler_alone: int = 0

    def line(self, name: str) -> str:
        minutes = self.seconds / 60
        return (
            f"{name}: {self.sounds} sounds, {minutes:.1f} min; left unread {self.left}, marked as talk"
            f" {self.marked}, claims {self.claiming} ({30 * self.claiming / max(minutes, 0.1):.1f} in 30"
            f" min), of these unmarked {self.unmarked}; filler alone {self.filler_alone}"
        )


def main() -> None:
    """Hear everything, judge it, and fit the curve anew."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--notes", type=Path, nargs="+", required=True)
    parser.add_argument("--talk", type=Path, nargs="+", required=True)
    parser.add_argument("--model", type=Path)
    parser.add_argument("--snr", type=float, nargs="*", default=[])
    parser.add_argument("--most", type=int, default=200, help="files of a folder, drawn by chance")
    asked = parser.parse_args()
    engine = open_engine(asked.model, terms=())
    rows: list[list[float]] = []
    for talk, folders in ((False, asked.notes), (True, asked.talk)):
        for folder in folders:
            for snr in (None, *asked.snr):
                counts = Counts()
                for sound in _sounds(folder, snr, asked.most):
                    rows += [[*row, float(talk)] for row in _hear(engine, sound, counts)]
                print(counts.line(f"{folder.name}{'' if snr is None else f' at {snr:.0f} dB'}"))
    base, *weights = _fit(np.array(rows))
    print(f"\nbase = {base:.2f}")
    for name, weight in zip(("fit", "agreement", "filler", "machines"), weights, strict=True):
        print(f"{name} = {weight:.3f}")


def _sounds(folder: Path, snr: float | None, most: int) -> Iterator[Sound]:
    files = find_files([folder])
    for at, path in enumerate(random.Random(1).sample(files, min(most, len(files)))):
        sound = read_sound(path)
        if snr is not None:
            noise = chute_noise(sound.seconds, np.random.default_rng(at))
            sound = Sound.of(add_noise(sound.samples, noise, snr_db=snr))
        yield sound


def _hear(engine: Engine, sound: Sound, counts: Counts) -> Iterator[list[float]]:
    heard = engine.hear(sound)
    judged = judge([heard.words, *heard.alternatives], heard.fits)
    entries = marked_entries(parse_best(judged.hearings), judged)
    claiming = [entry for entry in entries if any(entry[name] for name in _CLAIMS)]
    counts.sounds += 1
    counts.seconds += sound.seconds
    counts.left += any(talk.left for talk in judged.talk)
    counts.marked += any(MAY_BE_TALK in entry["marks"] for entry in entries)
    counts.claiming += bool(claiming)
    counts.unmarked += any(not entry["marks"] for entry in claiming)
    counts.filler_alone += bool(heard.words) and all(word.text == FILLER for word in heard.words)
    for fit in heard.fits:
        words = [w for w in heard.words if fit.start <= w.start <= fit.end]
        share = sum(word.text == FILLER for word in words) / max(len(words), 1)
        yield [fit.fit, fit.agreement, share, fit.machines]


def _fit(rows: np.ndarray, *, ridge: float = 0.1) -> Sequence[float]:
    """Logistic regression by Newton's method, notes and talk weighed alike."""
    given, talk = rows[:, :-1], rows[:, -1]
    mean, spread = given.mean(axis=0), given.std(axis=0) + 1e-9
    x = np.column_stack([np.ones(len(rows)), (given - mean) / spread])
    weigh = np.where(talk > 0, 0.5 / talk.mean(), 0.5 / (1 - talk.mean()))
    penalty = np.diag([0.0] + [ridge] * given.shape[1])
    b = np.zeros(x.shape[1])
    for _ in range(50):
        chance = 1 / (1 + np.exp(-x @ b))
        slope = x.T @ (weigh * (chance - talk)) + penalty @ b
        b -= np.linalg.solve((x.T * (weigh * chance * (1 - chance))) @ x + penalty, slope)
    weights = b[1:] / spread
    return [b[0] - float(weights @ mean), *weights]


if __name__ == "__main__":
    main()
