"""What happens to a voice on its way from a chute to a file, batched in PyTorch.

Speed comes first and is shared by the views of an utterance; the rest (room, noise, microphone,
level, clipping, codec, edges) is drawn anew for every row. `hardness` from 0 to 1 turns all of it
up: a network that meets the worst from the first step learns slowly.
"""

import math
from dataclasses import dataclass

import torch
from torch import Tensor

from dictate.training import noises
from dictate.training.corpus import RATE
from dictate.training.features import band_centres, band_of

_FULL = 32767.0
_BANK_SECONDS = 10
_KNEE = 4800.0
"""Hertz up to which resonances move in proportion."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """How often (chance of a row) and how far, at full hardness."""

    noise: float = 0.65
    snr_least: float = -3.0
    snr_most: float = 30.0
    babble: float = 0.08
    room: float = 0.45
    equaliser: float = 0.7
    narrow: float = 0.3
    high_pass: float = 0.3
    clip: float = 0.1
    companding: float = 0.1
    codec: float = 0.12
    floor: float = 0.6
    """A faint noise floor; without noise and floor, pauses are exact zeros."""
    gated: float = 0.15
    """Exact zeros before and after the speech although it is noisy."""
    slowest: float = 0.84
    fastest: float = 1.2
    """Of half of the rows: pitch, pace and vocal tract together."""
    vocal_tract: float = 0.0
    """Resonances moved without pitch and pace: a longer or shorter throat."""
    vocal_tract_reach: float = 0.14


def fast_size(samples: int) -> int:
    """Return the next length whose Fourier transform is quick: 2, 3, 5 or 7 times a power of two, or so.

    Few distinct lengths also keep the GPU's store of transform plans small.
    """
    unit = 1 << max(0, samples.bit_length() - 5)
    return -(-samples // unit) * unit


def change_speed(x: Tensor, lengths: Tensor, rates: Tensor) -> Tensor:
    """Play row i `rates[i]` times as fast (pitch and pace together) by linear interpolation.

    `lengths` are the samples of each row that count; the result holds `lengths / rates`.
    """
    longest = fast_size(int((lengths / rates).max().ceil()))
    at = torch.arange(longest, device=x.device)[None] * rates[:, None]
    left = at.long().clamp(max=x.shape[1] - 2)
    share = (at - left).clamp(0, 1)
    y = torch.gather(x, 1, left) * (1 - share) + torch.gather(x, 1, left + 1) * share
    return y * (at < lengths[:, None])


def move_resonances(energies: Tensor, rates: Tensor) -> Tensor:
    """Move the resonances of row i to `rates[i]` times their frequency (Jaitly and Hinton 2013, "VTLP").

    `energies` are log mel energies [rows, frames, bands]. Above 4.8 kHz the scale bends so that
    its upper end stays where it is.
    """
    bands = energies.shape[2]
    hertz = band_centres().to(energies.device)[None]
    knee = _KNEE * rates.clamp(max=1)[:, None]
    top = RATE / 2
    below = hertz / rates[:, None]
    above = top - (top - knee / rates[:, None]) * (top - hertz) / (top - knee)
    at = band_of(torch.where(hertz < knee, below, above)).clamp(0, bands - 1)
    left = at.long().clamp(max=bands - 2)
    share = (at - left)[:, None]
    left = left[:, None].expand(-1, energies.shape[1], -1)
    return (
        torch.gather(energies, 2, left) * (1 - share) + torch.gather(energies, 2, left + 1) * share
    )


def mix_at(speech: Tensor, noise: Tensor, snr: Tensor) -> Tensor:
    """Add unit-power noise at `snr` dB below each row's speech, taken where it sounds."""
    loud = speech.abs() > 0.02 * speech.abs().amax(1, keepdim=True)
    power = (speech.pow(2) * loud).sum(1) / loud.sum(1).clamp(min=1)
    gain = torch.sqrt(power / 10 ** (snr / 10))
    return speech + noise * gain[:, None]


def _chance(rows: int, share: float, device: torch.device) -> Tensor:
    return torch.rand(rows, 1, device=device) < share


class Augmenter:
    """Holds a bank of noise and changes batches of signals [rows, samples], int16 range."""

    def __init__(
        self, recorded: list[Tensor], device: torch.device, *, strength: Strength, each: int = 48
    ) -> None:
        self.device = device
        if device.type == "cuda":
            torch.backends.cuda.cufft_plan_cache[device.index or 0].max_size = 64
        self.strength = strength
        samples = _BANK_SECONDS * RATE
        made = [noises.make(kind, each, samples, device) for kind in noises.KINDS]
        taken = [_tile(one.to(device).float(), samples)[None] for one in recorded if len(one)]
        self.bank = torch.cat(made + taken).half()

    def noise(self, rows: int, samples: int) -> Tensor:
        """Two sounds of the bank mixed, unit power."""
        total = torch.zeros(rows, samples, device=self.device)
        at = torch.arange(samples, device=self.device)[None]
        for share in (1.0, 0.6):
            which = torch.randint(len(self.bank), (rows, 1), device=self.device)
            start = torch.randint(self.bank.shape[1], (rows, 1), device=self.device)
            weight = share * torch.rand(rows, 1, device=self.device)
            total += weight * self.bank[which, (start + at) % self.bank.shape[1]]
        return total / (total.pow(2).mean(1, keepdim=True).sqrt() + 1e-6)

    def __call__(self, x: Tensor, inside: Tensor, hardness: float) -> Tensor:
        """Return new signals; `inside` is True where the utterance lies, False in the padding."""
        if hardness <= 0:
            return x
        s, rows, some = self.strength, len(x), 0.3 + 0.7 * hardness
        x = self._room(x, s.room * some)
        x = self._noise(x, hardness)
        x = self._microphone(x, some)
        x = self._level(x, hardness)
        x = self._clip(x, s.clip * some)
        x = self._compand(x, s.companding * some)
        if torch.rand(()) < s.codec * some:
            x = _codec(x)
        gated = _chance(rows, s.gated, self.device)
        x = torch.where(gated & ~inside, 0.0, x)
        level = 10 ** (
            torch.rand(rows, 1, device=self.device) * 2.6
        )  # 1 to 400 steps: -90 to -38 dB
        level = torch.minimum(level, x.abs().amax(1, keepdim=True) * 0.03)
        floor = torch.randn_like(x) * level * _chance(rows, s.floor, self.device)
        return (x + torch.where(gated & ~inside, 0.0, floor)).round().clamp(-32768, 32767)

    def throat(self, energies: Tensor, hardness: float) -> Tensor:
        """Log mel energies [rows, frames, bands] as if other people had said some of the rows."""
        s, rows = self.strength, len(energies)
        moved = _chance(rows, s.vocal_tract * hardness, self.device)[:, 0]
        reach = s.vocal_tract_reach * (2 * torch.rand(rows, device=self.device) - 1)
        return move_resonances(energies, torch.where(moved, torch.exp(reach), 1.0))

    def _room(self, x: Tensor, share: float) -> Tensor:
        """Direct sound, a gap, then an exponentially dying tail that also dulls."""
        rows, size = len(x), RATE // 2
        t = torch.arange(size, device=self.device)[None] / RATE
        decay = 0.06 + 0.6 * torch.rand(rows, 1, device=self.device) ** 1.5
        tail = torch.randn(rows, size, device=self.device) * torch.exp(-6.9 * t / decay)
        gap = 0.0005 + 0.008 * torch.rand(rows, 1, device=self.device)
        tail = tail * (t > gap)
        tail = tail / (tail.pow(2).sum(1, keepdim=True).sqrt() + 1e-6)
        strong = 1.1 * torch.rand(rows, 1, device=self.device) * _chance(rows, share, self.device)
        response = tail * strong
        response[:, 0] = 1
        total = fast_size(x.shape[1] + size)
        wet = torch.fft.irfft(torch.fft.rfft(x, total) * torch.fft.rfft(response, total), total)
        return wet[:, : x.shape[1]]

    def _noise(self, x: Tensor, hardness: float) -> Tensor:
        s, rows = self.strength, len(x)
        least = 20 + (s.snr_least - 20) * hardness
        snr = least + (s.snr_most - least) * torch.rand(rows, device=self.device)
        snr = torch.where(_chance(rows, s.noise, self.device)[:, 0], snr, 200.0)
        x_noisy = mix_at(x, self.noise(rows, x.shape[1]), snr)
        talk = torch.roll(x, 1, 0)
        talk = talk / (talk.pow(2).mean(1, keepdim=True).sqrt() + 1e-6)
        snr = 8 + 17 * torch.rand(rows, device=self.device)
        snr = torch.where(_chance(rows, s.babble * hardness, self.device)[:, 0], snr, 200.0)
        return mix_at(x_noisy, talk, snr)

    def _microphone(self, x: Tensor, some: float) -> Tensor:
        """Random smooth equaliser, telephone band, high-pass: one transform for all."""
        s, rows, samples = self.strength, *x.shape
        spectrum = torch.fft.rfft(x)
        hertz = torch.linspace(0, RATE / 2, spectrum.shape[1], device=self.device)[None]
        knots = torch.randn(rows, 1, 10, device=self.device) * 4.5 * some
        decibel = torch.nn.functional.interpolate(
            knots, spectrum.shape[1], mode="linear", align_corners=True
        )[:, 0]
        gain = 10 ** (decibel * _chance(rows, s.equaliser, self.device) / 20)
        cut = 3150 + 850 * torch.rand(rows, 1, device=self.device)
        low = torch.sigmoid((cut - hertz) / (10 + 60 * torch.rand(rows, 1, device=self.device)))
        gain = gain * torch.where(_chance(rows, s.narrow * some, self.device), low, 1.0)
        foot = 50 + 300 * torch.rand(rows, 1, device=self.device)
        high = torch.sigmoid((hertz - foot) / 25)
        gain = gain * torch.where(_chance(rows, s.high_pass * some, self.device), high, 1.0)
        return torch.fft.irfft(spectrum * gain, samples)

    def _level(self, x: Tensor, hardness: float) -> Tensor:
        peak = x.abs().amax(1, keepdim=True) + 1
        reach = 0.6 + 1.6 * hardness  # 12 to 44 dB below full scale
        loud = 10 ** (-reach * torch.rand(len(x), 1, device=self.device))
        return x / peak * loud * _FULL

    def _clip(self, x: Tensor, share: float) -> Tensor:
        over = 1 + 5 * torch.rand(len(x), 1, device=self.device)
        peak = x.abs().amax(1, keepdim=True)
        clipped = torch.minimum(torch.maximum(x, -peak / over), peak / over)
        return torch.where(_chance(len(x), share, self.device), clipped, x)

    def _compand(self, x: Tensor, share: float) -> Tensor:
        """8-bit mu-law, as on a telephone line."""
        bent = torch.sign(x) * torch.log1p(255 * (x.abs() / _FULL).clamp(max=1)) / math.log(256)
        steps = torch.round(bent * 127) / 127
        back = torch.sign(steps) * (torch.exp(steps.abs() * math.log(256)) - 1) / 255 * _FULL
        return torch.where(_chance(len(x), share, self.device), back, x)


def _codec(x: Tensor) -> Tensor:
    """Lossy coding in spirit: faint bins dropped, the others coarsely quantised."""
    size = 512
    window = torch.hann_window(size, device=x.device)
    bins = torch.stft(x, size, 256, window=window, return_complex=True)
    strength = bins.abs()
    mask = strength > strength.amax(1, keepdim=True) * 10 ** (-1.2 - 1.2 * torch.rand(()).item())
    step = 0.15 + 0.4 * torch.rand(()).item()
    coarse = torch.exp(torch.round(torch.log(strength + 1) / step) * step) - 1
    bins = torch.where(mask, bins / (strength + 1e-6) * coarse, 0.0)
    return torch.istft(bins, size, 256, window=window, length=x.shape[1])


def _tile(x: Tensor, samples: int) -> Tensor:
    x = x.repeat(samples // len(x) + 1)[:samples]
    return x / (x.pow(2).mean().sqrt() + 1e-6)
