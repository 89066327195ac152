"""The sounds of a trimming chute, made by formula: there is no free recording of them.

Every function returns [count, samples] at 16 kHz with unit power. The formulas are common
practice in sound design (harmonics with drift, modulated noise, decaying resonances); they are
not measured from real machines.
"""

import math

import torch
from torch import Tensor

_RATE = 16000


def _unit(x: Tensor) -> Tensor:
    x = x - x.mean(1, keepdim=True)
    return x / (x.pow(2).mean(1, keepdim=True).sqrt() + 1e-9)


def _uniform(count: int, low: float, high: float, like: Tensor) -> Tensor:
    return low + (high - low) * torch.rand(count, 1, device=like.device)


def _times(count: int, samples: int, device: torch.device) -> Tensor:
    return (torch.arange(samples, device=device) / _RATE).expand(count, samples)


def _slow(count: int, samples: int, every: float, device: torch.device) -> Tensor:
    """Draw a smooth random curve, one knot each `every` seconds, about -1 to 1."""
    knots = torch.randn(count, 1, max(2, int(samples / _RATE / every) + 2), device=device)
    return torch.nn.functional.interpolate(knots, samples, mode="linear", align_corners=True)[:, 0]


def coloured(count: int, samples: int, device: torch.device) -> Tensor:
    """Noise whose spectrum falls by 0 to 9 dB an octave."""
    spectrum = torch.fft.rfft(torch.randn(count, samples, device=device))
    frequency = torch.arange(1, spectrum.shape[1] + 1, device=device).float()
    slope = 1.5 * torch.rand(count, 1, device=device)
    return _unit(torch.fft.irfft(spectrum * frequency[None] ** (-slope), samples))


def _band(noise: Tensor, low: Tensor, high: Tensor) -> Tensor:
    spectrum = torch.fft.rfft(noise)
    hertz = torch.linspace(0, _RATE / 2, spectrum.shape[1], device=noise.device)
    keep = torch.sigmoid((hertz - low) / 60) * torch.sigmoid((high - hertz) / 120)
    return torch.fft.irfft(spectrum * keep, noise.shape[1])


def _harmonics(phase: Tensor, count: int, tilt: float) -> Tensor:
    """Sum of harmonics of a phase curve in turns, each `1 / h ** tilt` strong, some missing."""
    total = torch.zeros_like(phase)
    for h in range(1, count + 1):
        strength = torch.rand(len(phase), 1, device=phase.device) / h**tilt
        start = torch.rand(len(phase), 1, device=phase.device)
        total += strength * torch.sin(2 * math.pi * (h * phase + start))
    return total


def _turns(hertz: Tensor, drift: Tensor) -> Tensor:
    return torch.cumsum(hertz * (1 + drift) / _RATE, 1)


def grinder(count: int, samples: int, device: torch.device) -> Tensor:
    """Angle grinder: a whine that sags under load, and bright hiss that comes with the load."""
    load = torch.sigmoid(2.5 * _slow(count, samples, 0.6, device))
    hertz = _uniform(count, 140, 520, load)
    whine = _harmonics(_turns(hertz, -0.12 * load), 14, 0.7)
    hiss = _band(torch.randn(count, samples, device=device), _uniform(count, 1200, 3000, load),
                 _uniform(count, 5000, 8000, load))  # fmt: skip
    share = _uniform(count, 0.3, 2.0, load)
    return _unit(_unit(whine) * (0.6 + load) + share * load * _unit(hiss))


def motor(count: int, samples: int, device: torch.device) -> Tensor:
    """Motor or mains hum: low harmonics with a little noise."""
    drift = 0.01 * _slow(count, samples, 1.0, device)
    hum = _harmonics(_turns(_uniform(count, 24, 125, drift), drift), 18, 0.9)
    return _unit(_unit(hum) + 0.4 * coloured(count, samples, device))


def fan(count: int, samples: int, device: torch.device) -> Tensor:
    """Barn fan: dull noise that beats with the blades."""
    t = _times(count, samples, device)
    beat = 1 + _uniform(count, 0.1, 0.7, t) * torch.sin(2 * math.pi * _uniform(count, 4, 40, t) * t)
    dull = _band(torch.randn(count, samples, device=device), _uniform(count, 20, 80, t),
                 _uniform(count, 500, 2500, t))  # fmt: skip
    return _unit(dull * beat)


def pump(count: int, samples: int, device: torch.device) -> Tensor:
    """Hydraulic or vacuum pump: strokes of a resonance over a hum."""
    t = _times(count, samples, device)
    rate = _uniform(count, 2, 14, t)
    stroke = torch.exp(-_uniform(count, 3, 15, t) * torch.remainder(t * rate, 1))
    tone = torch.sin(2 * math.pi * _uniform(count, 90, 900, t) * t)
    hiss = coloured(count, samples, device)
    return _unit(stroke * (tone + hiss) + 0.3 * motor(count, samples, device))


def rain(count: int, samples: int, device: torch.device) -> Tensor:
    """Rain on a tin roof: bright noise and single drops."""
    hiss = _band(torch.randn(count, samples, device=device), _uniform(count, 300, 1500, torch.zeros(1, device=device)),
                 _uniform(count, 6000, 8000, torch.zeros(1, device=device)))  # fmt: skip
    drops = _ringing(count, samples, device, a_second=40.0, low=1500, high=6000, decay=(150, 500))
    return _unit(_unit(hiss) + _uniform(count, 0.2, 1.0, hiss) * _unit(drops))


def knocks(count: int, samples: int, device: torch.device) -> Tensor:
    """Hooves on boards and gates that clank, over a faint background."""
    boards = _ringing(count, samples, device, a_second=3.0, low=60, high=500, decay=(12, 50))
    clanks = _ringing(count, samples, device, a_second=1.0, low=700, high=4000, decay=(8, 60))
    hush = 0.05 * coloured(count, samples, device)
    return _unit(_unit(boards) + _uniform(count, 0, 0.8, boards) * _unit(clanks) + hush)


def _ringing(
    count: int, samples: int, device: torch.device, *, a_second: float, low: float, high: float,
    decay: tuple[float, float],
) -> Tensor:  # fmt: skip
    """Random strokes, each ringing at one of the source's three resonances."""
    strokes = (torch.rand(count, samples, device=device) < a_second / _RATE).float()
    strokes = strokes * torch.randn_like(strokes).abs()
    strokes[:, 0] = 1e-3
    t = _times(count, min(samples, _RATE // 2), device)
    ring = torch.zeros_like(t)
    for _ in range(3):
        tone = torch.sin(2 * math.pi * _uniform(count, low, high, t) * t)
        ring += (
            tone * torch.exp(-_uniform(count, *decay, t) * t) * torch.rand(count, 1, device=device)
        )
    size = samples + t.shape[1]
    spectrum = torch.fft.rfft(strokes, size) * torch.fft.rfft(ring, size)
    return torch.fft.irfft(spectrum, size)[:, :samples]


KINDS = {
    "coloured": coloured,
    "fan": fan,
    "grinder": grinder,
    "knocks": knocks,
    "motor": motor,
    "pump": pump,
    "rain": rain,
}


def make(kind: str, count: int, samples: int, device: torch.device) -> Tensor:
    """`count` noises of a kind, [count, samples], unit power."""
    return KINDS[kind](count, samples, device)
