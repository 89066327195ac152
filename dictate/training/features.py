"""Kaldi's 40 MFCCs a 10 ms frame, batched in PyTorch.

The same numbers as Kaldi (and so Vosk) computes with `--num-mel-bins=40 --num-ceps=40
--low-freq=20 --high-freq=7600 --use-energy=false --dither=0`; a test compares them with
`kaldi-native-fbank`.
"""

import math

import torch
from torch import Tensor, nn

COEFFICIENTS = 40
_RATE, _WINDOW, _HOP, _FFT = 16000, 400, 160, 512
_LOW, _HIGH = 20.0, 7600.0
_PREEMPHASIS, _LIFTER = 0.97, 22.0
_FLOOR = 1.1920929e-07  # float32 epsilon, as in Kaldi


def frame_count(samples: Tensor) -> Tensor:
    """Frames of a signal of so many samples (Kaldi's snip-edges)."""
    return 1 + (samples - _WINDOW).clamp(min=0) // _HOP


class Mfcc(nn.Module):
    """Signals [batch, samples] in the int16 range to features [batch, frames, 40]."""

    def __init__(self) -> None:
        super().__init__()
        index = torch.arange(_WINDOW)
        hann = 0.5 - 0.5 * torch.cos(2 * math.pi * index / (_WINDOW - 1))
        self.register_buffer("window", hann.pow(0.85))  # Kaldi's "povey" window
        self.register_buffer("mel", _mel_filters())
        self.register_buffer("cosine", _lifted_cosine())

    def log_mel(self, signal: Tensor) -> Tensor:
        """Log mel energies [batch, frames, 40]."""
        frames = signal.unfold(1, _WINDOW, _HOP)
        frames = frames - frames.mean(-1, keepdim=True)
        first = frames[..., :1] * (1 - _PREEMPHASIS)
        frames = torch.cat([first, frames[..., 1:] - _PREEMPHASIS * frames[..., :-1]], -1)
        power = torch.fft.rfft(frames * self.window, _FFT).abs().pow(2)
        return torch.log((power @ self.mel).clamp(min=_FLOOR))

    def from_log_mel(self, energies: Tensor) -> Tensor:
        """Apply the cosine transform and liftering."""
        return energies @ self.cosine

    def forward(self, signal: Tensor) -> Tensor:
        return self.from_log_mel(self.log_mel(signal))


def band_centres() -> Tensor:
    """Hertz at the middle of each mel band, [40]."""
    mel = _mel(_LOW) + _BAND * torch.arange(1, COEFFICIENTS + 1).double()
    return (700.0 * (torch.exp(mel / 1127.0) - 1)).float()


def band_of(hertz: Tensor) -> Tensor:
    """Where frequencies lie among the bands: 0 at the middle of the first, fractions between."""
    return (1127.0 * torch.log1p(hertz / 700.0) - _mel(_LOW)) / _BAND - 1


def _mel(hertz: float) -> float:
    return 1127.0 * math.log(1.0 + hertz / 700.0)


_BAND = (_mel(_HIGH) - _mel(_LOW)) / (COEFFICIENTS + 1)
"""Mel from one band's middle to the next."""


def _mel_filters() -> Tensor:
    """Triangles on the mel scale, [257, 40]."""
    low, step = _mel(_LOW), _BAND
    at = torch.tensor([_mel(bin_ * _RATE / _FFT) for bin_ in range(_FFT // 2 + 1)]).double()
    left = low + step * torch.arange(COEFFICIENTS).double()
    rising = (at[:, None] - left) / step
    falling = (left + 2 * step - at[:, None]) / step
    filters = torch.minimum(rising, falling).clamp(min=0)
    filters[-1] = 0  # Kaldi leaves the Nyquist bin out
    return filters.float()


def _lifted_cosine() -> Tensor:
    """Orthonormal DCT-II with Kaldi's liftering, [40 bands, 40 coefficients]."""
    n = COEFFICIENTS
    order = torch.arange(n).double()
    matrix = math.sqrt(2 / n) * torch.cos(math.pi / n * (order[None] + 0.5) * order[:, None])
    matrix[0] = math.sqrt(1 / n)
    lift = 1 + 0.5 * _LIFTER * torch.sin(math.pi * order / _LIFTER)
    return (matrix * lift[:, None]).T.float().contiguous()
