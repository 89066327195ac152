"""Synthesised sound of a working chute: machines, gates, hooves, cattle.

No grinder, pump or cattle recording with a usable licence exists, so the demo, the training of
the recogniser and the tests make their own. Every source is a function `(seconds, rng)` to a
float32 array at 16 kHz with an RMS of 1 over its sounding parts; levels are the caller's. The
figures (speeds, pitches, decays) are common practice for such machines, not measurements.
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType

import numpy as np

RATE = 16_000
Source = Callable[[float, np.random.Generator], np.ndarray]


def hiss(seconds: float, rng: np.random.Generator) -> np.ndarray:
    """Make a shed's background: noise that falls 3 dB an octave."""
    return _unit(_shaped(_count(seconds), rng, lambda hz: 1 / np.sqrt(np.maximum(hz, 40.0))))


def grinder(seconds: float, rng: np.random.Generator) -> np.ndarray:
    """Make an angle grinder: spins up, bites into horn in strokes, spins down, rests."""
    n = _count(seconds)
    running = _on_off(n, rng, on=(4.0, 14.0), off=(1.0, 8.0), ramp=0.5)
    biting = _on_off(n, rng, on=(0.4, 2.5), off=(0.2, 1.5), ramp=0.08) * running
    hz = rng.uniform(140, 185) * (0.35 + 0.65 * running) * (1 - rng.uniform(0.08, 0.18) * biting)
    phase = 2 * np.pi * np.cumsum(hz) / RATE
    gear = int(rng.integers(9, 15))
    whine = sum(
        rng.uniform(0.3, 1.0) / k**0.6 * np.sin(k * phase + rng.uniform(0, 6.28))
        for k in (1, 2, 3, 4, 6, gear, gear + 1, 2 * gear)
    )
    rasp = _shaped(n, rng, lambda hz_: _band(hz_, 900, 6500)) * (0.25 + 1.6 * biting)
    return _unit((whine * 0.5 + _unit(rasp) * 1.2) * running)


def pump(seconds: float, rng: np.random.Generator) -> np.ndarray:
    """Make a hydraulic or vacuum pump: pulses at some 20 to 45 a second, and flow noise."""
    n = _count(seconds)
    running = _on_off(n, rng, on=(2.0, 8.0), off=(2.0, 10.0), ramp=0.3)
    hz = rng.uniform(20, 45) * (1 + 0.01 * _wander(n, rng))
    phase = 2 * np.pi * np.cumsum(hz) / RATE
    pulses = sum(rng.uniform(0.2, 1.0) / k**0.8 * np.sin(k * phase) for k in range(1, 24))
    flow = _shaped(n, rng, lambda hz_: _band(hz_, 200, 3000)) * (1 + 0.5 * np.sin(phase))
    return _unit((pulses + 0.8 * _unit(flow)) * running)


def motor(seconds: float, rng: np.random.Generator) -> np.ndarray:
    """Make an electric motor and fan: mains hum with its harmonics, and air."""
    n = _count(seconds)
    phase = 2 * np.pi * rng.choice([50.0, 60.0]) * np.arange(n) / RATE
    hum = sum(
        rng.uniform(0.1, 1.0) / k * np.sin(k * phase + rng.uniform(0, 6.28)) for k in range(1, 12)
    )
    air = _shaped(n, rng, lambda hz: _band(hz, 150, 2500) / np.sqrt(np.maximum(hz, 100)))
    return _unit(_unit(hum) + 0.8 * _unit(air))


def knocks(seconds: float, rng: np.random.Generator) -> np.ndarray:
    """Make hooves on boards and clanging gates: short bursts of decaying resonances."""
    out = np.zeros(_count(seconds))
    at = rng.exponential(0.8)
    while at < seconds:
        for _ in range(int(rng.integers(1, 4))):
            _place(out, _struck(rng, metal=rng.random() < 0.4), at)
            at += rng.uniform(0.12, 0.35)
        at += rng.exponential(2.0)
    return _unit(out)


def lowing(seconds: float, rng: np.random.Generator) -> np.ndarray:
    """Make cattle lowing: a rough glide of one to two seconds, now and then."""
    out = np.zeros(_count(seconds))
    at = rng.exponential(6.0)
    while at < seconds:
        n = _count(rng.uniform(0.8, 2.0))
        t = np.linspace(0, 1, n)
        hz = rng.uniform(90, 160) * (1 + 0.5 * np.sin(np.pi * t)) * (1 + 0.03 * _wander(n, rng))
        phase = 2 * np.pi * np.cumsum(hz) / RATE
        throat = rng.uniform(350, 600)
        voice = sum(
            np.exp(-(((k * hz - throat) / 350) ** 2)) * np.sin(k * phase) for k in range(1, 16)
        )
        rough = 1 + 0.4 * np.sin(2 * np.pi * rng.uniform(22, 40) * np.arange(n) / RATE)
        _place(out, voice * rough * np.sin(np.pi * t) ** 0.6, at)
        at += rng.exponential(9.0) + 2.0
    return _unit(out)


SOURCES: Mapping[str, Source] = MappingProxyType(
    {
        "hiss": hiss,
        "motor": motor,
        "pump": pump,
        "grinder": grinder,
        "knocks": knocks,
        "lowing": lowing,
    }
)


def chute_noise(seconds: float, rng: np.random.Generator) -> np.ndarray:
    """Mix the sources into one noise with an RMS of 1 (float32, 16 kHz): some near, some far, some off."""
    mixed = sum(
        SOURCES[name](seconds, rng) * 10 ** (level / 20)
        for name, level in sorted(_scene(rng).items())
    )
    return _unit(np.asarray(mixed)).astype(np.float32)


def add_noise(speech: np.ndarray, noise: np.ndarray, *, snr_db: float) -> np.ndarray:
    """Mix noise under speech (int16) so that speech while it sounds lies `snr_db` above it.

    The sum is turned down when it would clip; int16 out.
    """
    voice = speech.astype(np.float64)
    noise = noise[: len(voice)].astype(np.float64)
    loudness = np.sqrt(np.mean(noise**2)) or 1.0
    mixed = voice + noise * (speech_level(speech) / loudness) * 10 ** (-snr_db / 20)
    peak = np.abs(mixed).max(initial=1.0)
    return np.rint(mixed * min(1.0, 31_000 / peak)).astype(np.int16)


def speech_level(samples: np.ndarray) -> float:
    """RMS of the louder half of 30 ms frames: the level of clean speech while it sounds."""
    frames = samples[: len(samples) // 480 * 480].reshape(-1, 480).astype(np.float64)
    if not len(frames):
        return 0.0
    power = np.sort((frames**2).mean(axis=1))
    return float(np.sqrt(power[len(power) // 2 :].mean()))


def _scene(rng: np.random.Generator) -> dict[str, float]:
    levels = {"hiss": 0.0, "knocks": rng.uniform(-8, 4)}
    for name, chance in (("motor", 0.7), ("pump", 0.5), ("grinder", 0.5), ("lowing", 0.25)):
        if rng.random() < chance:
            levels[name] = rng.uniform(-4, 10)
    return levels


def _count(seconds: float) -> int:
    return max(1, round(seconds * RATE))


def _unit(samples: np.ndarray) -> np.ndarray:
    sounding = samples[np.abs(samples) > 1e-6 * np.abs(samples).max(initial=0)]
    loudness = np.sqrt(np.mean(sounding**2)) if len(sounding) else 0.0
    return samples / loudness if loudness else samples


def _shaped(
    n: int, rng: np.random.Generator, gain: Callable[[np.ndarray], np.ndarray]
) -> np.ndarray:
    spectrum = np.fft.rfft(rng.standard_normal(n))
    return np.fft.irfft(spectrum * gain(np.fft.rfftfreq(n, 1 / RATE)), n)


def _band(hz: np.ndarray, low: float, high: float) -> np.ndarray:
    return 1 / np.sqrt(1 + (low / np.maximum(hz, 1)) ** 4) / np.sqrt(1 + (hz / high) ** 4)


def _wander(n: int, rng: np.random.Generator) -> np.ndarray:
    """Slow random drift, about -1 to 1."""
    points = rng.uniform(-1, 1, max(2, n // 4000 + 2))
    return np.interp(np.linspace(0, len(points) - 1, n), np.arange(len(points)), points)


def _on_off(
    n: int,
    rng: np.random.Generator,
    *,
    on: tuple[float, float],
    off: tuple[float, float],
    ramp: float,
) -> np.ndarray:
    """Envelope 0 to 1 of something switched on and off for random stretches of seconds."""
    times, values = [0.0], [float(rng.random() < 0.6)]
    while times[-1] * RATE < n:
        held = rng.uniform(*(on if values[-1] else off))
        times += [times[-1] + held, times[-1] + held + ramp]
        values += [values[-1], 1 - values[-1]]
    return np.interp(np.arange(n) / RATE, times, values)


def _struck(rng: np.random.Generator, *, metal: bool) -> np.ndarray:
    n = _count(0.5 if metal else 0.25)
    t = np.arange(n) / RATE
    pitches = rng.uniform(350, 3800, 6) if metal else rng.uniform(60, 320, 4)
    decay = rng.uniform(8, 25) if metal else rng.uniform(25, 60)
    ring = sum(np.sin(2 * np.pi * hz * t + rng.uniform(0, 6.28)) for hz in pitches)
    click = rng.standard_normal(n) * np.exp(-t * 300)
    return (ring / len(pitches) * np.exp(-t * decay) + click) * rng.uniform(0.3, 1.0)


def _place(out: np.ndarray, piece: np.ndarray, at: float) -> None:
    start = round(at * RATE)
    end = min(len(out), start + len(piece))
    out[start:end] += piece[: max(0, end - start)]
