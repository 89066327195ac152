"""Level, clipping, noise floor and speech-to-noise ratio of sound made to known figures."""

import numpy as np
import pytest

from dictate.sound import Sound, read_sound
from dictate.sound.chute_noise import chute_noise, hiss, speech_level
from dictate.sound.levels import advise, measure_levels
from tests.fake_engine import DEMO


def test_a_full_scale_sine_reads_minus_three() -> None:
    """A sine has half the power of a square wave of its peak: 10 log10(1/2) = -3.01 dB."""
    sine = Sound.of(np.rint(32767 * np.sin(2 * np.pi * 997 * np.arange(32_000) / 16_000)))

    assert measure_levels(sine).noise_db == pytest.approx(-3.01, abs=0.05)
    assert measure_levels(sine).peak_db == pytest.approx(0.0, abs=0.05)


@pytest.mark.parametrize("snr_db", [0.0, 6.0, 12.0, 20.0])
def test_known_ratio_is_estimated(snr_db: float) -> None:
    """Speech mixed into noise at a known ratio is estimated within 3.5 dB."""
    rng = np.random.default_rng(5)
    clean = read_sound(DEMO / "20260302_105537.opus").samples.astype(np.float64)
    voice = np.concatenate([np.zeros(16_000), clean, np.zeros(16_000)])
    noise = hiss(len(voice) / 16_000, rng) * speech_level(clean.astype(np.int16))
    mixed = voice + noise[: len(voice)] * 10 ** (-snr_db / 20)
    levels = measure_levels(Sound.of(np.rint(mixed * 0.5)))

    assert levels.snr_db == pytest.approx(snr_db, abs=3.5)


@pytest.mark.parametrize("samples", [0, 100, 512, 3000])
def test_a_snatch_of_sound_has_levels_too(samples: int) -> None:
    """A key pressed too early gives less than half a second, or nothing."""
    levels = measure_levels(Sound.of(np.full(samples, 1000.0)))

    assert 0 == levels.speech_seconds
    assert levels.snr_db is None


def test_clipping_is_found() -> None:
    """A voice turned up into the ceiling is told to be turned down; a clean one is not."""
    voice = read_sound(DEMO / "20260302_082117.opus").samples.astype(np.float64)
    loud = Sound.of(np.clip(voice * 12, -32768, 32767))

    assert measure_levels(loud).clipped_share > 0.001
    assert any("clipped" in line for line in advise(measure_levels(loud)))
    assert measure_levels(Sound.of(voice)).clipped_share == 0


def test_good_sound_needs_no_advice() -> None:
    """A headset's sound gets no advice."""
    levels = measure_levels(read_sound(DEMO / "20260302_105537.opus"))

    assert advise(levels) == []


def test_bad_sound_is_told() -> None:
    """Silence, noise alone and a drowned voice each get their own line."""
    rng = np.random.default_rng(1)
    noise = Sound.of(np.rint(chute_noise(5, rng) * 1000))
    voice = read_sound(DEMO / "20260302_105537.opus").samples
    machines = hiss(len(voice) / 16_000, rng)[: len(voice)] * speech_level(voice)
    drowned = Sound.of(np.rint((voice + machines) * 0.4))

    assert "Nothing at all" in advise(measure_levels(Sound.of(np.zeros(16_000))), silent=True)[0]
    assert "Too little speech" in advise(measure_levels(noise))[0]
    assert "nearly as loud" in advise(measure_levels(drowned))[0]
