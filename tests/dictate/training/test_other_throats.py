"""Resonances moved as another speaker's throat would, held against sound really made so."""

import math

import pytest
import torch

from dictate.training.augment import Augmenter, Strength, move_resonances
from dictate.training.corpus import RATE
from dictate.training.features import Mfcc, band_centres, band_of

CPU = torch.device("cpu")


def _noise_around(hertz: float) -> torch.Tensor:
    """Noise of one resonance: white noise through a bell around `hertz`."""
    torch.manual_seed(3)
    spectrum = torch.fft.rfft(torch.randn(RATE) * 3000)
    at = torch.linspace(0, RATE / 2, len(spectrum))
    bell = torch.exp(-((torch.log(at.clamp(min=1) / hertz) / 0.12) ** 2))
    return torch.fft.irfft(spectrum * bell, RATE)


def _peak(energies: torch.Tensor) -> float:
    return band_centres()[energies.mean(0).argmax()].item()


@pytest.mark.parametrize("rate", [0.88, 1.0, 1.13])
def test_a_resonance_lands_where_the_factor_puts_it(rate: float) -> None:
    energies = Mfcc().log_mel(_noise_around(1500)[None])
    moved = move_resonances(energies, torch.tensor([rate]))[0]
    there = Mfcc().log_mel(_noise_around(1500 * rate)[None])[0]
    assert _peak(moved) == pytest.approx(_peak(there), rel=0.05)
    loud = there.mean(0) > there.mean(0).max() - 4
    assert (moved.mean(0) - there.mean(0))[loud].abs().max() < 1


def test_bands_and_their_middles_are_one_scale() -> None:
    assert torch.allclose(band_of(band_centres()), torch.arange(40.0), atol=1e-3)


def test_only_some_rows_move_and_none_unless_asked() -> None:
    energies = Mfcc().log_mel(torch.randn(64, RATE // 2) * 1000)
    still = Augmenter([], CPU, strength=Strength(), each=1)
    assert torch.allclose(still.throat(energies, 1.0), energies, atol=1e-4)
    torch.manual_seed(1)
    half = Augmenter([], CPU, strength=Strength(vocal_tract=0.5), each=1)
    moved = (half.throat(energies, 1.0) - energies).abs().amax((1, 2)) > 1e-2
    assert 16 < moved.sum() < 48
    assert math.isfinite(half.throat(energies, 1.0).sum().item())
