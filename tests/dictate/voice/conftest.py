"""A model whose network is small and knows nothing, so that learning takes seconds."""

import shutil
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from dictate.decoder.model_files import Outputs, bundled_model, open_folder, write_card
from dictate.demo.script import demo_folder
from dictate.sound import RATE, read_sound
from dictate.voice.recordings import Recording
from dictate.voice.sounds import sounds_of


@pytest.fixture(scope="session")
def small_model(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The bundled graph under a network of random weights."""
    torch = pytest.importorskip("torch", reason="learning needs the extra [voice]")
    from dictate.decoder.phones import PDF_COUNT
    from dictate.training.export import export
    from dictate.training.network import Network, Shape

    folder = tmp_path_factory.mktemp("small") / "model"
    shutil.copytree(bundled_model(), folder)
    torch.manual_seed(0)
    shape = Shape(outputs=PDF_COUNT, front=24, width=32, bottleneck=16, reaches=(3, 3))
    outputs = Outputs(sharpen=1.5, blank_penalty=3.0)
    export([Network(shape).eval()], folder / "am" / "final.mdl", **outputs.model_dump())
    card = open_folder(bundled_model()).card
    assert card is not None
    (folder / "model.toml").unlink()
    write_card(
        folder, name="small", version="1", lexicon=card.lexicon, weights=card.weights,
        outputs=outputs,
    )  # fmt: skip
    return folder


def tones(text: str, seed: int = 0) -> np.ndarray:
    """A sound that differs by word: each word is a chord of its own."""
    parts = []
    for word in text.split():
        rng = np.random.default_rng(sum(map(ord, word)))
        t = np.arange(int(0.35 * RATE)) / RATE
        parts.append(sum(np.sin(2 * np.pi * hz * t) for hz in rng.uniform(200, 3500, 4)) * 3000)
        parts.append(np.zeros(RATE // 20))
    samples = np.concatenate(parts) + np.random.default_rng(seed).normal(
        0, 20, sum(map(len, parts))
    )
    return samples.astype(np.int16)


@cache
def speech() -> np.ndarray:
    """Somebody speaking, whatever is said: the shortest clip of the demo day."""
    return read_sound(
        min(demo_folder().glob("*.opus"), key=lambda clip: clip.stat().st_size)
    ).samples


def recording(text: str, *, name: str = "", seed: int = 0) -> Recording:
    words = tuple(text.split())
    sounded, unknown = sounds_of(words)
    assert not unknown
    return Recording(
        name=name or text, samples=tones(text, seed), words=words, sounded=sounded, prompt=text
    )
