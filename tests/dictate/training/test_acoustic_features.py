"""Features are Kaldi's; noise and rooms do to a signal what they say."""

import numpy as np
import pytest
import torch

from dictate.training import noises
from dictate.training.augment import Augmenter, Strength, change_speed, fast_size, mix_at
from dictate.training.features import Mfcc, frame_count

CPU = torch.device("cpu")


def test_features_equal_kaldis():
    """Source of the check: the package kaldi-native-fbank, which is Kaldi's own code."""
    kaldi = pytest.importorskip("kaldi_native_fbank")
    samples = np.random.default_rng(0).normal(0, 2000, 9000).round().astype(np.float32)
    options = kaldi.MfccOptions()
    options.frame_opts.dither = 0
    options.mel_opts.num_bins = options.num_ceps = 40
    options.mel_opts.low_freq, options.mel_opts.high_freq = 20, 7600
    options.use_energy = False
    theirs = kaldi.OnlineMfcc(options)
    theirs.accept_waveform(16000, samples.tolist())
    theirs.input_finished()
    frames = np.stack([theirs.get_frame(i) for i in range(theirs.num_frames_ready)])
    ours = Mfcc()(torch.from_numpy(samples)[None])[0].numpy()
    assert ours.shape == frames.shape
    assert int(frame_count(torch.tensor([9000]))[0]) == len(frames)
    assert np.abs(ours - frames).max() < 2e-3


@pytest.mark.parametrize("kind", noises.KINDS)
def test_every_machine_has_unit_power_and_no_gaps(kind):
    torch.manual_seed(0)
    noise = noises.make(kind, 2, 16000, CPU)
    assert noise.shape == (2, 16000)
    assert torch.isfinite(noise).all()
    assert noise.pow(2).mean(1) == pytest.approx([1, 1], abs=1e-3)


def test_noise_is_mixed_at_the_ratio_asked_for():
    torch.manual_seed(0)
    speech = 1000 * torch.sin(torch.arange(16000) / 5)[None]
    noise = torch.randn(1, 16000)
    mixed = mix_at(speech, noise, torch.tensor([10.0]))
    ratio = 10 * torch.log10(speech.pow(2).mean() / (mixed - speech).pow(2).mean())
    assert float(ratio) == pytest.approx(10, abs=0.3)


def test_speed_changes_length_and_pitch_together():
    tone = torch.sin(2 * torch.pi * 440 * torch.arange(16000) / 16000)[None]
    fast = change_speed(tone, torch.tensor([16000.0]), torch.tensor([1.25]))[0, :12800]
    peak = torch.fft.rfft(fast).abs().argmax() * 16000 / 12800
    assert float(peak) == pytest.approx(550, abs=2)


def test_fast_sizes_are_few_and_little_longer():
    sizes = {fast_size(n) for n in range(16000, 320000, 7)}
    assert len(sizes) < 100
    assert all(0 <= fast_size(n) - n <= n / 15 for n in range(16000, 320000, 997))


def test_augmentation_keeps_shape_and_range_and_can_leave_exact_zeros():
    torch.manual_seed(3)
    augment = Augmenter([], CPU, strength=Strength(gated=1.0), each=1)
    signal = torch.zeros(6, 8000)
    signal[:, 2000:6000] = 3000 * torch.randn(6, 4000)
    inside = torch.zeros(6, 8000, dtype=torch.bool)
    inside[:, 2000:6000] = True
    changed = augment(signal, inside, 1.0)
    assert changed.shape == signal.shape
    assert changed.abs().max() <= 32768
    assert (changed[:, :1900] == 0).all()
    assert (changed[:, 2000:6000] != 0).any()
    assert torch.equal(augment(signal, inside, 0.0), signal)
