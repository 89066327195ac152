"""Tones and the spoken answer."""

import subprocess
import sys

import pytest

from dictate.errors import SoundError
from dictate.sound import Sound, has_speech
from dictate.sound.say_back import EspeakVoice, Tone, make_tone


def test_tones_are_short_clean_and_different() -> None:
    """Each tone is under half a second, begins and ends at rest, and sounds unlike the others."""
    tones = [make_tone(tone) for tone in Tone]

    for tone in tones:
        assert len(tone) < 8000
        assert abs(int(tone[0])) < 50
        assert abs(int(tone[-1])) < 50
    assert len({tone.tobytes() for tone in tones}) == len(tones)


def test_a_line_is_spoken() -> None:
    """ESpeak NG says a line as speech of a fitting length, and a longer line takes longer."""
    pytest.importorskip("espeakng_loader")
    voice = EspeakVoice()
    short, long = (
        voice.speak(text)
        for text in ("say the foot again", "4 12, left hind outer, sole ulcer, zone 4, block inner")
    )

    assert 0.5 < len(short) / 16_000 < 2.5 < len(long) / 16_000 < 8
    assert has_speech(Sound.of(long))


def test_unknown_voice_is_refused() -> None:
    """A voice that is not there is named, with one that is."""
    pytest.importorskip("espeakng_loader")
    with pytest.raises(SoundError, match="no such voice"):
        EspeakVoice(voice="nobody")


def test_voices_are_loaded_again_and_again_and_speak_side_by_side() -> None:
    """The library keeps one voice and one callback: lines that came together sound as alone.

    In a process of its own, because what this once did was to crash or to hang.
    """
    pytest.importorskip("espeakng_loader")
    done = subprocess.run(
        [sys.executable, "-c", _SIDE_BY_SIDE],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )

    assert done.returncode == 0, done.stderr
    slow, fast = (float(mean) for mean in done.stdout.split())
    assert 0.5 < fast < slow < 2.5


_SIDE_BY_SIDE = """
from concurrent.futures import ThreadPoolExecutor
from statistics import mean
from dictate.errors import SoundError
from dictate.sound.say_back import EspeakVoice

def seconds(words_a_minute):
    for _ in range(20):
        voice = EspeakVoice(words_a_minute=words_a_minute)
        try:
            EspeakVoice(voice="nobody")
        except SoundError:
            pass
        yield len(voice.speak("say the foot again")) / 16_000

def spread(words_a_minute):
    said = list(seconds(words_a_minute))
    assert max(said) < 1.1 * min(said), said
    return mean(said)

with ThreadPoolExecutor(2) as pool:
    print(*pool.map(spread, (160, 240)))
"""
