"""Keep parts of a person's speech out of learning, and what is heard of them."""

import random
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soundfile

from dictate.sound import RATE
from dictate.sound.chute_noise import add_noise, chute_noise
from dictate.voice.recordings import Recording

_SHARE = 5
"""What is kept aside once, as a part of all; several parts are all of it."""
_MACHINES_DB = (10.0, 5.0)
_PAD = np.zeros(RATE // 4, np.int16)


def held_apart(
    own: Sequence[Recording], *, parts: int = 1, among: Collection[int] | None = None, seed: int = 0
) -> list[list[int]]:
    """Choose a fifth of the speech, or several parts that are all of it; whole prompts.

    Each part is to be judged by a network that has learnt from the rest, so every word of it is
    also in the rest: prompts with a word that nothing else has are in no part. `among` says which
    recordings may be chosen.
    """
    chosen = sorted(range(len(own)) if among is None else among)
    prompts: dict[str, list[int]] = {}
    for at in chosen:
        prompts.setdefault(own[at].prompt, []).append(at)
    if len(prompts) < len(chosen) / 2:  # the same few prompts again and again
        prompts = {str(at): [at] for at in chosen}
    order = sorted(prompts)
    random.Random(seed).shuffle(order)
    wanted = sum(own[at].seconds for at in chosen) / (_SHARE if parts == 1 else parts)
    found = []
    for _ in range(parts):
        part = _part(own, [prompts[prompt] for prompt in order], wanted)
        order = [prompt for prompt in order if prompts[prompt][0] not in part]
        found.append(sorted(part))
    return [part for part in found if part]


def _part(own: Sequence[Recording], prompts: Iterable[Sequence[int]], wanted: float) -> set[int]:
    left = Counter(word for one in own for word in one.words)
    part: set[int] = set()
    seconds = 0.0
    for some in prompts:
        words = Counter(word for at in some for word in own[at].words)
        length = sum(own[at].seconds for at in some)
        if seconds + length / 2 > wanted or any(left[w] - n < 1 for w, n in words.items()):
            continue
        part.update(some)
        seconds += length
        left -= words
    return part


def versions(one: Recording, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """A recording as it is, and under machines 10 or 5 dB below the voice."""
    samples = np.concatenate([_PAD, one.samples, _PAD])
    rng = np.random.default_rng(seed)
    noise = chute_noise(len(samples) / RATE + 0.1, rng)[: len(samples)]
    return samples, add_noise(samples, noise, snr_db=_MACHINES_DB[seed % len(_MACHINES_DB)])


@dataclass(frozen=True, slots=True)
class Held:
    """One version of one recording that is judged."""

    path: Path
    words: tuple[str, ...]
    machines: bool


def write_held(folder: Path, held: Sequence[Recording]) -> list[Held]:
    """Write each held recording in its versions."""
    folder.mkdir(parents=True, exist_ok=True)
    return list(_written(folder, held))


def _written(folder: Path, held: Sequence[Recording]) -> Iterator[Held]:
    for at, one in enumerate(held):
        for number, version in enumerate(versions(one, at)):
            path = folder / f"{at:03d}-{number}.wav"
            soundfile.write(path, version, RATE, subtype="PCM_16")
            yield Held(path, one.words, machines=number > 0)
