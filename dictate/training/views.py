"""Differently augmented views of every batch, and what a network loses on them.

CTC over phones on each view, each also pulled towards the other's distribution (consistency, as in
Yao et al. 2024, "CR-CTC").
"""

import random
from collections.abc import Sequence

import torch
from torch import Tensor
from torch.nn import functional

from dictate.training.augment import Augmenter
from dictate.training.batches import gather
from dictate.training.evaluate import hold_last_frame
from dictate.training.features import Mfcc, frame_count
from dictate.training.network import STRIDE, Network
from dictate.training.packs import Example
from dictate.training.recipe import Recipe, hardness_at


class Views:
    """Makes the views of a batch."""

    def __init__(
        self, recipe: Recipe, audio: Tensor, mfcc: Mfcc, augment: Augmenter, rng: random.Random
    ) -> None:
        self.recipe, self.audio, self.rng = recipe, audio, rng
        self.mfcc, self.augment = mfcc, augment

    def losses(
        self, network: Network, examples: Sequence[Example], progress: float
    ) -> tuple[Tensor, Tensor, Tensor]:
        """CTC, the pull of the views towards each other, and the output frames, all summed."""
        training = self.recipe.training
        hardness = hardness_at(progress, training)
        with torch.no_grad():
            strength = self.recipe.strength
            batch = gather(
                self.audio, examples, self.rng, vary=True,
                speeds=(strength.slowest, strength.fastest),
            )  # fmt: skip
            frames = frame_count(batch.lengths)
            views = [
                self.mfcc.log_mel(self.augment(batch.signals, batch.inside, hardness))
                for _ in range(training.views)
            ]
            spoken = self.augment.throat(torch.cat(views), hardness)
            energies, frames = self._pace(spoken, frames)
            features = self.mfcc.from_log_mel(self._mask(energies, frames, hardness))
            features = hold_last_frame(features, frames.repeat(training.views))
        lengths = (frames + STRIDE - 1) // STRIDE
        cuda = self.audio.device.type == "cuda"
        with torch.autocast(self.audio.device.type, torch.bfloat16, enabled=cuda):
            outputs = network(features)
        ctc = functional.ctc_loss(
            outputs.transpose(0, 1), batch.targets.repeat(training.views), lengths.repeat(training.views),
            batch.target_lengths.repeat(training.views), reduction="sum", zero_infinity=True,
        )  # fmt: skip
        pull = (
            _pull(outputs, lengths)
            if training.views > 1
            else torch.zeros((), device=self.audio.device)
        )
        return ctc, pull, lengths.sum() * training.views

    def _pace(self, energies: Tensor, frames: Tensor) -> tuple[Tensor, Tensor]:
        """Slower or faster speech at the same pitch: stretch the frames of the whole batch."""
        if self.rng.random() < 0.5:
            return energies, frames
        size = int(energies.shape[1] * self.rng.uniform(0.85, 1.25))
        new = (frames.float() * size / energies.shape[1]).long().clamp(min=1)
        stretched = functional.interpolate(energies.transpose(1, 2), size, mode="linear")
        return stretched.transpose(1, 2), new

    def _mask(self, energies: Tensor, frames: Tensor, hardness: float) -> Tensor:
        """Hide stretches of time and bands (SpecAugment), put the row's mean there."""
        training = self.recipe.training
        rows, size, bands = energies.shape
        device = energies.device
        hidden = torch.zeros(rows, size, bands, dtype=torch.bool, device=device)
        time_at = torch.arange(size, device=device)[None]
        band_at = torch.arange(bands, device=device)[None]
        last = frames.repeat(rows // len(frames))[:, None]
        some = 0.4 + 0.6 * hardness
        # A mask about every two seconds, however long the row.
        for _ in range(round(training.frame_masks * max(1.0, size / 200))):
            start = torch.rand(rows, 1, device=device) * last
            width = torch.rand(rows, 1, device=device) * training.frame_mask_seconds * 100 * some
            hidden |= ((time_at >= start) & (time_at < start + width))[:, :, None]
        for _ in range(training.band_masks):
            start = torch.rand(rows, 1, device=device) * bands
            width = torch.rand(rows, 1, device=device) * training.band_mask_bands * some
            hidden |= ((band_at >= start) & (band_at < start + width))[:, None]
        return torch.where(hidden, energies.mean((1, 2), keepdim=True), energies)


def _pull(outputs: Tensor, lengths: Tensor) -> Tensor:
    """Each view's divergence from the other's (held still) distribution, summed over frames."""
    one, other = outputs.chunk(2)
    at = torch.arange(one.shape[1], device=one.device)[None]
    counts = (at < lengths[:, None])[:, :, None]
    forth = functional.kl_div(one, other.detach(), reduction="none", log_target=True)
    back = functional.kl_div(other, one.detach(), reduction="none", log_target=True)
    return ((forth + back) * counts).sum()
