"""Synthetic voices: flite, espeak-ng, Piper and Kokoro behind one call.

A voice has an id `engine:name`. The reserved voices are for measuring alone: the corpus step
refuses to train on them.
"""

import json
import os
import random
import shutil
import subprocess
import tempfile
from collections.abc import Mapping
from functools import cache
from pathlib import Path

import numpy as np
import soundfile
import soxr

from dictate.training import CorpusError
from dictate.training.corpus import RATE
from dictate.training.lexicon import read_accents, read_ipa

__all__ = [
    "DEV_VOICES",
    "ESPEAK_VOICES",
    "FLITE_VOICES",
    "RESERVED_VOICES",
    "is_reserved",
    "kokoro_style",
    "speak",
    "training_voices",
]

RESERVED_VOICES = ("flite:awb", "kokoro:jf_nezumi", "kokoro:jm_kumo")
DEV_VOICES = ("kokoro:af_river", "kokoro:bm_fable", "kokoro:zf_xiaoyi", "kokoro:zm_yunyang")
"""Kept out of training to watch it and to tune; the reserved ones are not even looked at."""
_FOREIGN = 0.35
"""Share of the mixed Kokoro speakers who say English sounds in another language's way."""
FLITE_VOICES = ("flite:slt", "flite:rms", "flite:kal16", "flite:kal")
ESPEAK_VOICES = tuple(
    f"espeak:{accent}{variant}"
    for accent in ("en-us", "en-gb", "en-gb-scotland", "en-gb-x-rp", "en-gb-x-gbclan", "en-029")
    for variant in ("", "+m3", "+m7", "+f2", "+f4", "+whisperf")
)


def speak(voice: str, text: str, rng: random.Random) -> np.ndarray:
    """Say `text` at a random pace and pitch; int16 mono 16 kHz samples, peak near full scale."""
    engine, name = voice.split(":", 1)
    try:
        samples, rate = _ENGINES[engine](name, text, rng)
    except KeyError:
        raise CorpusError(f"no voice {voice}", remedy=f"Engines: {', '.join(_ENGINES)}") from None
    return _to_int16(samples, rate)


def training_voices(kind: str) -> list[str]:
    """Voice ids for `flite`, `espeak`, `piper=FILE` or `kokoro=FOLDER` (4,000 mixed speakers)."""
    engine, _, place = kind.partition("=")
    if engine in {"piper", "kokoro"} and not place:
        raise CorpusError(f"{engine} needs its files", remedy=f"Write {engine}=PATH")
    kinds = {
        "flite": FLITE_VOICES,
        "espeak": ESPEAK_VOICES,
        "piper": (f"piper:{place}",),
        "kokoro": tuple(f"kokoro:{place}#{number}" for number in range(4000)),
    }
    return list(kinds.get(engine, (kind,)))


def is_reserved(voice: str) -> bool:
    """Whether a voice may only be measured or tuned with, wherever its files lie."""
    engine, _, name = voice.partition(":")
    return f"{engine}:{name.rpartition('#')[2]}" in (*RESERVED_VOICES, *DEV_VOICES)


def _to_int16(samples: np.ndarray, rate: int) -> np.ndarray:
    """Resample to 16 kHz and scale the peak to -3 dB."""
    sound = soxr.resample(samples.astype(np.float32), rate, RATE)
    peak = float(np.abs(sound).max(initial=0.0))
    if peak <= 0:
        raise CorpusError("the voice said nothing")
    return (sound * (0.708 * 32767 / peak)).astype(np.int16)


def _run_to_wave(command: list[str]) -> tuple[np.ndarray, int]:
    if shutil.which(command[0]) is None:
        raise CorpusError(f"{command[0]} is not installed", remedy=f"Install {command[0]}")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "said.wav"
        subprocess.run([*command, str(path)], check=True, capture_output=True)  # noqa: S603
        return soundfile.read(path, dtype="float32")


def _flite(name: str, text: str, rng: random.Random) -> tuple[np.ndarray, int]:
    pace = f"duration_stretch={rng.uniform(0.8, 1.3):.2f}"
    return _run_to_wave(["flite", "-voice", name, "--setf", pace, "-t", text, "-o"])


def _espeak(name: str, text: str, rng: random.Random) -> tuple[np.ndarray, int]:
    pace, pitch, gap = rng.randint(125, 205), rng.randint(15, 85), rng.choice([0, 0, 2, 6])
    options = ["-v", name, "-s", str(pace), "-p", str(pitch), "-g", str(gap)]
    command = ["espeak-ng", *options, text, "-w"]
    return _run_to_wave(command)


@cache
def _piper_voice(model: str):  # noqa: ANN202
    from piper import PiperVoice  # noqa: PLC0415

    return PiperVoice.load(model)


def _piper(name: str, text: str, rng: random.Random) -> tuple[np.ndarray, int]:
    """`name` is the path of a Piper `.onnx` voice."""
    from piper import SynthesisConfig  # noqa: PLC0415

    voice = _piper_voice(name)
    config = SynthesisConfig(
        length_scale=rng.uniform(0.75, 1.3),
        noise_scale=rng.uniform(0.4, 0.9),
        noise_w_scale=rng.uniform(0.4, 1.0),
    )
    parts = [chunk.audio_float_array for chunk in voice.synthesize(text, config)]
    return np.concatenate(parts), voice.config.sample_rate


def _kokoro_ids(
    text: str, accent: str, changes: Mapping[str, str], vocabulary: dict[str, int]
) -> list[int]:
    """Kokoro's phoneme numbers of an English text, by way of espeak-ng's IPA."""
    command = ["espeak-ng", "-q", "--ipa", "-v", accent, text]
    said = subprocess.run(command, check=True, capture_output=True, text=True)  # noqa: S603
    ipa = " ".join(said.stdout.split())
    for theirs, kokoros in [*read_ipa("kokoro").items(), *changes.items()]:
        ipa = ipa.replace(theirs, kokoros)
    return [vocabulary[letter] for letter in ipa if letter in vocabulary]


def kokoro_style(styles: Mapping[str, np.ndarray], seed: int) -> np.ndarray:
    """Mix one to three style vectors and push them by noise: a new speaker, [lengths, 1, 256].

    Styles of languages other than English speak it with an accent. Voices kept for measuring are
    left out.
    """
    rng = np.random.default_rng(seed)
    names = [name for name in sorted(styles) if not is_reserved(f"kokoro:{name}")]
    chosen = rng.choice(names, size=min(len(names), int(rng.integers(1, 4))), replace=False)
    weights = rng.dirichlet([1.0] * len(chosen)) * rng.uniform(0.85, 1.2)
    style = sum(w * styles[name] for w, name in zip(weights, chosen, strict=True))
    push = rng.choice([0.0, 0.1, 0.2, 0.3, 0.4]) * style.std()
    return (style + push * rng.standard_normal((1, 1, style.shape[-1]))).astype(np.float32)


@cache
def _kokoro_parts(folder: str):  # noqa: ANN202
    """(session, vocabulary, styles) of a folder with kokoro.onnx, vocab.json and voices.npz.

    On a graphics card, if there is one: each process takes one of them.
    """
    home = Path(folder)
    vocabulary = json.loads((home / "vocab.json").read_text(encoding="utf-8"))["vocab"]
    with np.load(home / "voices.npz") as file:
        styles = {name: file[name] for name in file.files}
    if shutil.which("nvidia-smi"):
        import torch  # noqa: PLC0415

        from dictate.training.onnx_torch import OnnxOnTorch  # noqa: PLC0415

        which = torch.device("cuda", os.getpid() % torch.cuda.device_count())
        return OnnxOnTorch(home / "kokoro.onnx", which), vocabulary, styles
    import onnxruntime  # noqa: PLC0415

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = 1
    session = onnxruntime.InferenceSession(
        str(home / "kokoro.onnx"), options, providers=["CPUExecutionProvider"]
    )
    return session, vocabulary, styles


def _kokoro(name: str, text: str, rng: random.Random) -> tuple[np.ndarray, int]:
    """`name` is `folder#style`, where style is a named style or a number (a mixed speaker)."""
    folder, _, which = name.partition("#")
    session, vocabulary, styles = _kokoro_parts(folder)
    speaker = random.Random(which)
    mixed = which.isdigit()
    style = kokoro_style(styles, int(which)) if mixed else styles[which]
    # Some mixed speakers are played slower or faster, and so lower or higher, at their pace.
    deep = speaker.choice([1.0, 1.0, speaker.uniform(0.8, 1.1)]) if mixed else 1.0
    accent = speaker.choice(["en-us", "en-us", "en-us", "en-gb", "en-gb", "en-gb-scotland"])
    foreign = speaker.choice(sorted(read_accents())) if speaker.random() < _FOREIGN else None
    changes = read_accents()[foreign] if mixed and foreign else {}
    ids = _kokoro_ids(text, accent, changes, vocabulary)
    inputs = {
        "tokens": np.array([[0, *ids, 0]], dtype=np.int64),
        "style": style[min(len(ids), len(style)) - 1].reshape(1, -1),
        "speed": np.array([rng.uniform(0.8, 1.25) / deep], dtype=np.float32),
    }
    return session.run(None, inputs)[0].ravel(), round(24000 * deep)


_ENGINES = {"flite": _flite, "espeak": _espeak, "piper": _piper, "kokoro": _kokoro}
