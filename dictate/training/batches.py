"""Examples to batches: a pack's recordings on the device, put together, padded and speed-changed.

An example is one or more pieces of one speaker (whole recordings, or words cut out of them) with
gaps between. Everything lies on the GPU as int16, so a batch is a few copies.
"""

import random
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate

import torch
from torch import Tensor

from dictate.training.augment import change_speed, fast_size
from dictate.training.corpus import RATE
from dictate.training.packs import Example
from dictate.training.texts import DIGITS, number_words

_NUMBERS = 0.7
"""Share of joined words that make a number; the others make any sequence."""
_CUT_JOINED = 0.85
_DIGITS_LEAST = 3
"""Different digits that a speaker must have for that."""
_FADE = 80
"""Samples at both ends of a piece that fade, so that a splice does not click."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """Signals [rows, samples] with what should be heard."""

    signals: Tensor
    inside: Tensor
    """True where a piece lies, False in padding and gaps."""
    lengths: Tensor
    """Samples of each row, [rows]."""
    targets: Tensor
    """Phones of all rows end to end."""
    target_lengths: Tensor


class Sampler:
    """Draws examples by the weight of their corpus and sorts them into batches of like length.

    The weight of an example is that of the first pattern that fits `corpus/text`.
    """

    def __init__(self, examples: Sequence[Example], weights: Mapping[str, float]) -> None:
        self.examples = examples
        self.weights = list(accumulate(_weight(example, weights) for example in examples))
        self.short: dict[tuple[str, str], list[Example]] = {}
        self.words: dict[tuple[str, str], dict[str, list[Example]]] = {}
        for example in examples:
            if example.length < 3 * RATE:
                self.short.setdefault(_voice(example), []).append(example)
            if example.cut:
                of_voice = self.words.setdefault(_voice(example), {})
                of_voice.setdefault(example.text, []).append(example)

    def batches(
        self, rng: random.Random, *, samples: int, count: int, join: float
    ) -> list[list[Example]]:
        """Batches of about `samples` samples each from `count` drawn examples.

        With chance `join` a short example is joined with others of its speaker; cut words nearly
        always, since they are among the whole recordings too.
        """
        drawn = rng.choices(self.examples, cum_weights=self.weights, k=count)
        drawn = [
            self._joined(one, rng) if rng.random() < (_CUT_JOINED if one.cut else join) else one
            for one in drawn
        ]
        drawn.sort(key=lambda one: one.length * rng.uniform(0.85, 1.15))
        batches: list[list[Example]] = [[]]
        longest = 0
        for one in drawn:
            longest = max(longest, one.length + RATE)
            if batches[-1] and longest * (len(batches[-1]) + 1) > samples:
                batches.append([])
                longest = one.length + RATE
            batches[-1].append(one)
        rng.shuffle(batches)
        return batches

    def _joined(self, one: Example, rng: random.Random) -> Example:
        if one.length > 2 * RATE:
            return one
        parts = self._number(one, rng) if one.cut and rng.random() < _NUMBERS else []
        if not parts:
            others = self.short[_voice(one)]
            parts = [one, *(rng.choice(others) for _ in range(rng.choice([1, 1, 2, 3, 4])))]
            rng.shuffle(parts)
        return Example(
            corpus=one.corpus,
            speaker=one.speaker,
            pieces=tuple(piece for part in parts for piece in part.pieces),
            text=" ".join(part.text for part in parts),
        )

    def _number(self, one: Example, rng: random.Random) -> list[Example]:
        """Return a number in a usual spoken form, out of words of the example's speaker.

        A speaker who has no word for it says as many other digits of their own; none without any.
        """
        words = self.words[_voice(one)]
        digits = [word for word in DIGITS if word in words]
        if len(digits) < _DIGITS_LEAST:
            return []
        said = number_words(rng)
        if any(word not in words for word in said):
            said = [word if word in words else rng.choice(digits) for word in said]
        return [rng.choice(words[word]) for word in said]


def _voice(example: Example) -> tuple[str, str]:
    """Whose voice it is, in which kind of recording (whole or cut out)."""
    return example.corpus.split("_")[0] + ("-cuts" if example.cut else ""), example.speaker


def _weight(example: Example, weights: Mapping[str, float]) -> float:
    label = f"{example.corpus}/{example.text}"
    return next((w for pattern, w in weights.items() if re.fullmatch(pattern, label)), 1.0)


def gather(
    audio: Tensor, examples: Sequence[Example], rng: random.Random, *, vary: bool,
    speeds: tuple[float, float] = (0.84, 1.2),
) -> Batch:  # fmt: skip
    """Lay the examples out with padding and gaps; when `vary`, at random and half at random speeds.

    Padding and gaps are exact zeros; augmentation puts a floor or noise on them, or leaves them.
    """
    device = audio.device
    placed = [_places(example, rng, vary=vary) for example in examples]
    last = [places[-1][0] + places[-1][2] for places in placed]
    ends = [end + (_padding(rng) if vary else int(0.3 * RATE)) for end in last]
    signals = _lay(audio, placed, fast_size(max(ends)))
    bounds = torch.tensor([[p[0][0] for p in placed], last, ends], device=device).float()
    if vary:
        drawn = [rng.choice([1.0, rng.uniform(*speeds)]) for _ in examples]
        rates = torch.tensor(drawn, device=device)
        signals = change_speed(signals, bounds[2], rates)
        bounds = bounds / rates
    at = torch.arange(signals.shape[1], device=device)[None]
    phones = [example.phones for example in examples]
    return Batch(
        signals=signals,
        inside=(at >= bounds[0][:, None]) & (at < bounds[1][:, None]),
        lengths=bounds[2].long(),
        targets=torch.tensor([p for row in phones for p in row], device=device),
        target_lengths=torch.tensor([len(row) for row in phones], device=device),
    )


def _lay(audio: Tensor, placed: Sequence[Sequence[tuple[int, int, int]]], samples: int) -> Tensor:
    """Copy every piece to its place in its row, all in one go."""
    flat = [(row * samples + at, start, n) for row, ps in enumerate(placed) for at, start, n in ps]
    to, start, length = torch.tensor(flat, device=audio.device).T
    piece = torch.repeat_interleave(length)
    first = torch.cumsum(length, 0) - length
    offset = torch.arange(len(piece), device=audio.device) - first[piece]
    signals = torch.zeros(len(placed) * samples, device=audio.device)
    from_edge = torch.minimum(offset, length[piece] - 1 - offset)
    fade = ((from_edge + 1) / _FADE).clamp(max=1)
    signals[to[piece] + offset] = audio[start[piece] + offset].float() * fade
    return signals.view(len(placed), samples)


def _padding(rng: random.Random) -> int:
    return int(rng.choice([0.0, 0.1, 0.5, 0.9]) * rng.random() * RATE)


def _places(example: Example, rng: random.Random, *, vary: bool) -> list[tuple[int, int, int]]:
    """(place in the row, start in the pack, length) of each piece."""
    places = []
    at = _padding(rng) if vary else int(0.3 * RATE)
    for piece in example.pieces:
        # Some recordings begin or end in the middle of a sound.
        cut = int(rng.choice([0, 0, 0, 0.03]) * rng.random() * RATE) if vary else 0
        cut = min(cut, piece.length // 10)
        length = piece.length - 2 * cut
        places.append((at, piece.start + cut, length))
        at += length + int(rng.choice([0.0, 0.02, 0.15, 0.4]) * rng.random() * RATE)
    return places
