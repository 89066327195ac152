"""What the network is shown in each step: own recordings, joined, varied and under machines."""

import random
from collections.abc import Sequence

import numpy as np
import torch
from torch import Tensor

from dictate.sound import RATE
from dictate.training.augment import Augmenter, Strength
from dictate.training.batches import Batch, gather
from dictate.training.evaluate import hold_last_frame
from dictate.training.features import Mfcc, frame_count
from dictate.training.network import STRIDE
from dictate.training.packs import Example, Piece
from dictate.voice.recordings import Recording

_SPEEDS = (0.92, 1.08)
_ROW_SECONDS = (0.5, 4.0)
"""Recordings are joined to this or more: words follow each other as in notes."""
_NOISES = 6
"""Of each kind of machine that is made up beforehand."""

OWN = Strength(
    noise=0.6, snr_least=0.0, snr_most=25.0, babble=0.0, room=0.1, equaliser=0.3, narrow=0.0,
    high_pass=0.0, clip=0.05, companding=0.0, codec=0.0, floor=0.6, gated=0.2,
)  # fmt: skip
"""One person's microphone is known; what changes from day to day is the noise and the level."""


class Listening:
    """Sound to the network's input and output."""

    def __init__(self, device: str = "cpu") -> None:
        self.device = torch.device(device)
        self._mfcc = Mfcc().to(self.device)

    @torch.no_grad()
    def features(self, signals: Tensor, lengths: Tensor) -> tuple[Tensor, Tensor]:
        """Features [rows, frames, 40] of signals, and each row's output frames."""
        signals, lengths = signals.to(self.device), lengths.to(self.device)
        frames = frame_count(lengths)
        features = hold_last_frame(self._mfcc(signals), frames)
        return features, (frames + STRIDE - 1) // STRIDE


class Lessons:
    """Batches of one person's recordings; each comes as often as any other."""

    def __init__(
        self, own: Sequence[Recording], noise: Sequence[np.ndarray], listening: Listening, *,
        seed: int = 0, strength: Strength = OWN, join: bool = True,
    ) -> None:  # fmt: skip
        self.rng = random.Random(seed)
        self._own, self._join = own, join
        self.listening = listening
        device = listening.device
        self._audio = torch.from_numpy(np.concatenate([one.samples for one in own])).to(device)
        self._starts = np.cumsum([0, *(len(one.samples) for one in own)]).tolist()
        recorded = [torch.from_numpy(one).float() for one in noise if len(one) > RATE]
        bank = Augmenter(recorded, device, strength=strength, each=_NOISES)
        if recorded:  # a person's own machines count as much as all that are made up
            own_share = bank.bank[-len(recorded) :]
            bank.bank = torch.cat([bank.bank, *[own_share] * (_NOISES * 7 // len(recorded))])
        self._augment = bank
        self._deck: list[int] = []

    def __len__(self) -> int:
        return len(self._own)

    def next(self, rows: int) -> tuple[Tensor, Tensor, Batch]:
        """Features, output frames and targets of the next recordings.

        The rows of a step are joined to about the same length: padding is work for nothing.
        """
        seconds = self.rng.uniform(*_ROW_SECONDS) if self._join else 0.0
        examples = [self._example(self._draw(), seconds) for _ in range(rows)]
        batch = gather(self._audio, examples, self.rng, vary=True, speeds=_SPEEDS)
        with torch.no_grad():
            signals = self._augment(batch.signals, batch.inside, 1.0)
        features, frames = self.listening.features(signals, batch.lengths)
        return features, frames, batch

    def _draw(self) -> int:
        if not self._deck:
            self._deck = list(range(len(self._own)))
            self.rng.shuffle(self._deck)
        return self._deck.pop()

    def _example(self, first: int, seconds: float) -> Example:
        parts = [first]
        length = self._own[first].seconds
        while length < seconds:
            parts.append(self.rng.randrange(len(self._own)))
            length += self._own[parts[-1]].seconds
        self.rng.shuffle(parts)
        return Example(corpus="", speaker="", pieces=tuple(map(self._piece, parts)), text="")

    def _piece(self, which: int) -> Piece:
        one = self._own[which]
        phones = tuple(phone for ways in one.sounded for phone in self.rng.choice(ways))
        return Piece(self._starts[which], len(one.samples), phones)

    def state(self) -> list[int]:
        """What is left of the deck; the order of later ones is drawn anew when taken up."""
        return list(self._deck)

    def take_up(self, deck: Sequence[int]) -> None:
        """Go on with the recordings that had not come yet."""
        self._deck = list(deck)
