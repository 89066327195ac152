"""Keep a fifth of a person's speech out of learning, and compare two models on it."""

import multiprocessing
import random
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soundfile

from dictate.measuring.scoring import score_words
from dictate.sound import RATE
from dictate.sound.chute_noise import add_noise, chute_noise
from dictate.voice.recordings import Recording

_SHARE = 5
_SURE = 0.95
_DRAWS = 2000
_MACHINES_DB = (10.0, 5.0)
_PAD = np.zeros(RATE // 4, np.int16)


def held_fifth(own: Sequence[Recording], *, seed: int = 0) -> list[int]:
    """Choose whole prompts whose words are also learnt elsewhere, until a fifth of the speech is out.

    Prompts that hold a word nothing else has stay in: learning needs them more.
    """
    prompts: dict[str, list[int]] = {}
    for at, one in enumerate(own):
        prompts.setdefault(one.prompt, []).append(at)
    if len(prompts) < len(own) / 2:  # the same few prompts again and again
        prompts = {str(at): [at] for at in range(len(own))}
    order = sorted(prompts)
    random.Random(seed).shuffle(order)
    left = Counter(word for one in own for word in one.words)
    wanted = sum(one.seconds for one in own) / _SHARE
    held: list[int] = []
    seconds = 0.0
    for prompt in order:
        some = prompts[prompt]
        words = Counter(word for at in some for word in own[at].words)
        length = sum(own[at].seconds for at in some)
        if seconds + length / 2 > wanted or any(left[w] - n < 1 for w, n in words.items()):
            continue
        held += some
        seconds += length
        left -= words
    return sorted(held)


def versions(one: Recording, seed: int) -> tuple[np.ndarray, ...]:
    """A recording as it is, and under machines 10 and 5 dB below the voice."""
    samples = np.concatenate([_PAD, one.samples, _PAD])
    return (samples, *(_under_machines(samples, seed, snr_db) for snr_db in _MACHINES_DB))


def _under_machines(samples: np.ndarray, seed: int, snr_db: float) -> np.ndarray:
    rng = np.random.default_rng((seed, int(snr_db)))
    noise = chute_noise(len(samples) / RATE + 0.1, rng)[: len(samples)]
    return add_noise(samples, noise, snr_db=snr_db)


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Two models on the same held-out speech, as recorded and under machines."""

    words: int
    errors_before: int
    errors_after: int
    better: bool
    """By more than chance: in 95 of 100 draws of the prompts with repetition."""

    @property
    def before(self) -> float:
        """Wrong words of 100."""
        return 100 * self.errors_before / max(self.words, 1)

    @property
    def after(self) -> float:
        return 100 * self.errors_after / max(self.words, 1)


def compare(
    said: Sequence[Sequence[str]], before: Sequence[Sequence[str]], after: Sequence[Sequence[str]]
) -> Comparison:
    """Compare what was heard of the same recordings; paired bootstrap over recordings.

    (Bisani and Ney 2004, "Bootstrap estimates for confidence intervals in ASR performance
    evaluation".)
    """
    words = np.array([len(one) for one in said])
    old, new = (
        np.array(
            [
                score_words(list(one), list(heard)).word_errors
                for one, heard in zip(said, some, strict=True)
            ]
        )
        for some in (before, after)
    )
    rng = np.random.default_rng(0)
    drawn = (
        rng.integers(len(words), size=(_DRAWS, len(words))) if len(words) else np.zeros((1, 0), int)
    )
    gains = (old - new)[drawn].sum(axis=1)
    return Comparison(
        words=int(words.sum()), errors_before=int(old.sum()), errors_after=int(new.sum()),
        better=bool((gains > 0).mean() >= _SURE),
    )  # fmt: skip


def write_held(folder: Path, held: Sequence[Recording]) -> list[tuple[Path, tuple[str, ...]]]:
    """Write each held recording in all its versions; returns files and words."""
    folder.mkdir(parents=True, exist_ok=True)
    return list(_written(folder, held))


def _written(folder: Path, held: Sequence[Recording]) -> Iterator[tuple[Path, tuple[str, ...]]]:
    for at, one in enumerate(held):
        for number, version in enumerate(versions(one, at)):
            path = folder / f"{at:03d}-{number}.wav"
            soundfile.write(path, version, RATE, subtype="PCM_16")
            yield path, one.words


def hear_held(model: Path, paths: Sequence[Path], home: Path) -> list[tuple[str, ...]]:
    """Hear files with a model in a process of its own."""
    spawn = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(1, mp_context=spawn) as pool:
        return pool.submit(_hear, model, paths, home).result()


def _hear(model: Path, paths: Sequence[Path], home: Path) -> list[tuple[str, ...]]:
    from dictate.decoder.language import FILLER  # noqa: PLC0415
    from dictate.hearing.opening import open_engine  # noqa: PLC0415 (slow to load)
    from dictate.sound import read_sound  # noqa: PLC0415

    engine = open_engine(model, terms=(), home=home)
    heard = []
    for path in paths:
        sound = read_sound(path)
        heard.append(tuple(w.text for w in engine.hear(sound).words if w.text != FILLER))
    return heard
