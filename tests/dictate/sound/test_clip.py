"""Reading clips: every format, rate and channel count, and every way a file can be bad."""

import hashlib
import os
from pathlib import Path

import numpy as np
import pytest

from dictate.errors import SoundError
from dictate.sound import LONGEST_SECONDS, RATE, Sound, blocks, read_sound

from .conftest import Write, tone


def peak_hz(samples: np.ndarray) -> float:
    spectrum = np.abs(np.fft.rfft(samples * np.hanning(len(samples))))
    return float(np.fft.rfftfreq(len(samples), 1 / 16_000)[spectrum.argmax()])


@pytest.mark.parametrize("suffix", ["wav", "flac", "mp3", "m4a", "opus", "ogg", "amr", "webm"])
def test_every_format_gives_the_same_sound(write: Write, suffix: str) -> None:
    """A tone comes out of every format at 16 kHz mono with its pitch, level and length."""
    rate = 8000 if suffix == "amr" else 16_000 if suffix in ("wav", "flac", "mp3") else 48_000
    sound = read_sound(write(f"tone.{suffix}", tone(3.0, rate), rate))

    assert sound.samples.dtype == np.int16
    assert sound.seconds == pytest.approx(3.0, abs=0.06)
    assert len(sound.samples) == round(sound.seconds * 16_000)
    assert sound.source_rate == rate
    assert peak_hz(sound.samples) == pytest.approx(440, abs=1)
    middle = sound.samples[8000:-8000] / 32768
    assert np.sqrt(2 * np.mean(middle**2)) == pytest.approx(0.3, rel=0.2)


@pytest.mark.parametrize("rate", [8000, 11_025, 16_000, 22_050, 44_100, 48_000, 96_000])
def test_every_rate_becomes_16_khz(write: Write, rate: int) -> None:
    """Any sampling rate is resampled to 16 kHz; the length stays."""
    sound = read_sound(write("tone.wav", tone(2.0, rate), rate))

    assert sound.source_rate == rate
    assert len(sound.samples) == pytest.approx(32_000, abs=1)
    assert peak_hz(sound.samples) == pytest.approx(440, abs=1)


def test_resampling_does_not_shift_sound(write: Write) -> None:
    """A click lies at the same moment after resampling, so cuts are exact."""
    samples = np.zeros(88_200)
    samples[44_100] = 0.9
    sound = read_sound(write("click.flac", samples, 44_100))

    assert np.abs(sound.samples.astype(int)).argmax() == pytest.approx(16_000, abs=1)


def test_stereo_is_mixed_down(write: Write) -> None:
    """Both channels of a stereo file are heard."""
    both = np.stack([tone(2.0, 44_100), tone(2.0, 44_100, hz=1000)])
    sound = read_sound(write("both.wav", both, 44_100))

    spectrum = np.abs(np.fft.rfft(sound.samples[:16_000]))
    assert sound.channels == 2
    assert spectrum[440] > 100 * spectrum[700]
    assert spectrum[1000] > 100 * spectrum[700]


def test_opposite_channels_do_not_cancel(write: Write) -> None:
    """A balanced microphone in a stereo socket is heard although averaging would silence it."""
    left = tone(2.0, 48_000)
    sound = read_sound(write("balanced.wav", np.stack([left, -left]), 48_000))

    assert not sound.silent
    assert np.abs(sound.samples).max() == pytest.approx(0.3 * 32768, rel=0.05)


def test_hash_is_of_the_file(write: Write) -> None:
    """The hash names the file's bytes, so that the same file is known again."""
    path = write("tone.flac", tone(1.0, 16_000))

    assert hashlib.sha256(path.read_bytes()).hexdigest() == read_sound(path).sha256


def test_wrong_suffix_is_read_by_content(write: Write) -> None:
    """A FLAC file named .wav is read all the same."""
    path = write("tone.flac", tone(1.0, 16_000))

    assert read_sound(path.rename(path.with_suffix(".wav"))).seconds == 1.0


def test_silence_is_told(write: Write) -> None:
    """A clip of zeros is silent; faint hiss is not."""
    hiss = np.random.default_rng(1).normal(0, 0.003, 16_000)

    assert read_sound(write("zeros.wav", np.zeros(16_000))).silent
    assert not read_sound(write("hiss.wav", hiss)).silent


def refused(path: Path) -> SoundError:
    with pytest.raises(SoundError) as caught:
        read_sound(path)
    assert str(path) == caught.value.where
    assert caught.value.remedy
    assert "\n" not in caught.value.line
    return caught.value


@pytest.mark.parametrize(
    ("name", "content", "what"),
    [
        ("empty.wav", b"", "is empty"),
        ("text.wav", b"cow four twelve\n" * 99, "not a sound file"),
        ("random.mp3", np.random.default_rng(3).bytes(9000), "not a sound file"),
        ("zeros.m4a", bytes(9000), "not a sound file"),
        ("header.wav", b"RIFF\x24\x00\x00\x00WAVE", "not a sound file"),
        ("picture.wav", b"\x89PNG\r\n\x1a\n" + bytes(500), "not a sound file"),
    ],
)
def test_what_is_no_sound_is_refused(tmp_path: Path, name: str, content: bytes, what: str) -> None:
    """Empty files and files that hold no sound get one clear line."""
    path = tmp_path / name
    path.write_bytes(content)

    assert what in refused(path).what


def test_missing_file_and_folder_are_refused(tmp_path: Path) -> None:
    """A name that is not there, and a folder, say so."""
    assert "not there" in refused(tmp_path / "gone.wav").what
    assert "folder" in refused(tmp_path).what


@pytest.mark.skipif(os.geteuid() == 0, reason="root reads everything")
def test_unreadable_file_is_refused(write: Write) -> None:
    """A file without read permission names the permission."""
    path = write("tone.wav", tone(1.0, 16_000))
    path.chmod(0)

    assert "cannot be read" in refused(path).what


@pytest.mark.parametrize("suffix", ["wav", "flac", "mp3", "m4a", "opus"])
@pytest.mark.parametrize("share", [0.3, 0.6, 0.9])
def test_truncated_file_is_refused(write: Write, suffix: str, share: float) -> None:
    """A half-copied file is refused in every format that says how long it is."""
    rate = 16_000 if suffix in ("wav", "flac", "mp3") else 48_000
    path = write(f"cut.{suffix}", np.random.default_rng(2).normal(0, 0.1, rate * 8), rate)
    path.write_bytes(path.read_bytes()[: int(path.stat().st_size * share)])

    error = refused(path)
    assert "ends early" in error.what or "never finished" in error.what


@pytest.mark.parametrize("suffix", ["wav", "flac", "mp3", "opus"])
def test_truncated_file_can_be_taken_as_it_is(write: Write, suffix: str) -> None:
    """What there is of a cut file can be had on request."""
    rate = 48_000 if suffix == "opus" else 16_000
    path = write(f"cut.{suffix}", np.random.default_rng(2).normal(0, 0.1, rate * 8), rate)
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])

    samples = sum(len(block) for block in blocks(path, cut_ok=True))
    assert samples / RATE == pytest.approx(4.0, abs=1.1)


def test_recorder_that_lost_power_is_read(write: Write) -> None:
    """A WAV whose header was never completed (length zero) gives all its sound."""
    path = write("power.wav", tone(2.0, 16_000))
    content = bytearray(path.read_bytes())
    at = content.index(b"data") + 4
    content[at : at + 4] = bytes(4)
    path.write_bytes(content)

    assert read_sound(path).seconds == pytest.approx(2.0, abs=0.01)


def test_locked_file_is_refused(write: Write) -> None:
    """A file locked by a shop (sample entry `drms`) says so."""
    path = write("shop.m4a", tone(2.0, 48_000), 48_000)
    path.write_bytes(path.read_bytes().replace(b"mp4a", b"drms"))

    assert "locked" in refused(path).what


def test_very_long_clip_is_refused(write: Write) -> None:
    """A long recording is not read whole into memory; the line says what to do with it."""
    path = write("day.wav", np.zeros(int((LONGEST_SECONDS + 5) * 8000)), 8000)

    assert "longer than 15 minutes" in refused(path).what


def test_sound_of_samples_has_its_own_hash() -> None:
    """Sound that never was a file is named by its samples."""
    sound = Sound.of(np.arange(1600))

    assert sound.seconds == 0.1
    assert hashlib.sha256(sound.samples.tobytes()).hexdigest() == sound.sha256
