"""How well each recording's words fit its sound, so that wrong labels do not teach; figures are said as fits best."""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import torch
from torch import Tensor
from torch.nn import functional

from dictate.training.align import best_path
from dictate.training.network import Network
from dictate.voice.lessons import Listening
from dictate.voice.recordings import Recording
from dictate.voice.sounds import spellings

_ROUNDS = 2
"""Passes over a recording's words in choosing their pronunciations, each word judged alone."""
_PAD = 4800
"""Samples of silence (0.3 s) before and after, as around a note."""
_FEWEST = 8
"""Recordings: among fewer there is no telling what is usual."""
_WORST_WORD = -2.0
"""Mean log-probability of a word's phones, where most words are heard well."""
_LACKS = 3.0
"""Nats by which other words would fit better."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """How a network finds one recording's words."""

    loss: float
    """Nats a phone that the words cost, in the pronunciations that suit best."""
    lacks: float
    """Nats that the words cost more than what the network would hear freely."""
    worst_word: float
    """Mean log-probability of the phones of the word that fits worst."""


def fits(network: Network, own: Sequence[Recording], listening: Listening) -> list[Fit]:
    """Judge every recording, as it was recorded over a faint floor."""
    return [fit_of(heard_by(network, one, listening), one) for one in own]


@torch.no_grad()
def heard_by(network: Network, one: Recording, listening: Listening) -> Tensor:
    """Log-probabilities [frames, outputs] of one recording."""
    sound = torch.from_numpy(one.samples).float()
    quiet = torch.Generator().manual_seed(1)
    padded = functional.pad(sound, (_PAD, _PAD))
    padded = (padded + 3 * torch.randn(padded.shape, generator=quiet)).round().clamp(-32768, 32767)
    features, frames = listening.features(padded[None], torch.tensor([len(padded)]))
    return network(features)[0, : int(frames[0])].cpu()


def fit_of(heard: Tensor, one: Recording) -> Fit:
    """Judge a recording's words by what a network heard of it."""
    chosen = [ways[0] for ways in one.sounded]
    least = _losses(heard, [chosen])[0]
    for _ in range(_ROUNDS):
        for at, ways in enumerate(one.sounded):
            if len(ways) == 1:
                continue
            tried = [[*chosen[:at], way, *chosen[at + 1 :]] for way in ways]
            losses = _losses(heard, tried)
            least = min(losses)
            chosen = tried[losses.index(least)]
    phones = [phone for word in chosen for phone in word]
    free = float(-heard.max(-1).values.sum())
    return Fit(loss=least / len(phones), lacks=least - free, worst_word=_worst(heard, chosen))


def _losses(heard: Tensor, tried: Sequence[Sequence[Sequence[int]]]) -> list[float]:
    targets = [[phone for word in words for phone in word] for words in tried]
    count = len(tried)
    losses = functional.ctc_loss(
        heard[:, None].expand(-1, count, -1),
        torch.tensor([phone for one in targets for phone in one]),
        torch.full((count,), len(heard)),
        torch.tensor([len(one) for one in targets]),
        reduction="none",
    )
    return losses.clamp(max=1e4).tolist()


def _worst(heard: Tensor, words: Sequence[Sequence[int]]) -> float:
    phones = [phone for word in words for phone in word]
    if len(heard) <= len(phones):
        return -100.0
    array = heard.numpy()
    sure = [float(array[t, p]) for t, p in zip(best_path(array, phones), phones, strict=True)]
    ends = np.cumsum([0, *map(len, words)])
    return min(float(np.mean(sure[a:b])) for a, b in itertools.pairwise(ends) if b > a)


def misfits(found: Sequence[Fit]) -> list[int]:
    """Which recordings' words do not fit, beside how the others' do.

    A word that was not said stands out by its phones; in a strange voice all words stand out a
    little, so the limit moves with the middle of them.
    """
    if len(found) < _FEWEST:
        return []
    middle = float(np.median([one.worst_word for one in found]))
    limit = min(_WORST_WORD, middle + 3 * _WORST_WORD / 2)
    bad = [at for at, one in enumerate(found) if one.worst_word < limit and one.lacks > _LACKS]
    return sorted(bad, key=lambda at: found[at].worst_word)[: len(found) // 3]


def in_words(
    network: Network, own: Sequence[Recording], listening: Listening
) -> dict[int, tuple[str, ...]]:
    """The words of each recording whose words hold figures, by its place: said as the sound has them."""
    return {
        at: _words(network, one, listening)
        for at, one in enumerate(own)
        if any(len(spellings(word)) > 1 for word in one.words)
    }


def _words(network: Network, one: Recording, listening: Listening) -> tuple[str, ...]:
    """Number after number takes the way that fits best, the others as they stand."""
    heard = heard_by(network, one, listening)
    parts = [spellings(word)[0] for word in one.words]
    for place, word in enumerate(one.words):
        ways = spellings(word)
        if len(ways) == 1:
            continue
        tried = [[*parts[:place], way, *parts[place + 1 :]] for way in ways]
        parts = min(tried, key=lambda some: fit_of(heard, _said(one, some)).lacks)
    return tuple(word for part in parts for word in part)


def _said(one: Recording, parts: Sequence[Sequence[str]]) -> Recording:
    return one.saying(tuple(word for part in parts for word in part))
