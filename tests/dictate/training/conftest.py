"""A toy corpus: every word is two tones, so that a tiny network learns it in seconds."""

import itertools
import json
from pathlib import Path

import numpy as np
import pytest
import soundfile

pytest.importorskip("torch", reason="training needs the extra [train]")

from dictate.training.corpus import RATE, Utterance, append_to_corpus
from dictate.training.pack import pack

TONES = {"AA": 300, "IY": 900, "S": 2500}
LEXICON = {"low": ["AA IY"], "high": ["IY S", "S"], "hiss": ["S AA"]}
SMALL = (
    "network.front=32", "network.width=48", "network.bottleneck=16", "network.reaches=[3, 3]",
    "network.dropout=0.0", "training.batch_seconds=10", "training.learning_rate=1e-2",
    "training.average=0.9", "training.frame_masks=0", "training.band_masks=0",
    "training.harden_from=0.6", "training.harden_until=2.0",
)  # fmt: skip


def sound_of(words, rng):
    """Two tones a word, pauses between words."""
    parts = [np.zeros(800)]
    for word in words:
        for phone in LEXICON[word][0].split():
            t = np.arange(1600) / RATE
            parts.append(6000 * rng.uniform(0.5, 1) * np.sin(2 * np.pi * TONES[phone] * t))
        parts.append(np.zeros(1600))
    return np.concatenate(parts).astype(np.int16)


@pytest.fixture(scope="session")
def lexicon() -> dict[str, list[str]]:
    return LEXICON


@pytest.fixture(scope="session")
def small() -> list[str]:
    """Options that make the recipe tiny and quick."""
    return [word for change in SMALL for word in ("--set", change)]


@pytest.fixture(scope="session")
def corpus(tmp_path_factory) -> Path:
    """Two train speakers, one dev speaker, one noise."""
    folder = tmp_path_factory.mktemp("corpora") / "toy"
    folder.mkdir()
    rng = np.random.default_rng(1)
    texts = [" ".join(words) for n in (1, 2) for words in itertools.permutations(LEXICON, n)]
    rows = [(f"{who}{i}", who, split, text)
            for who, split in (("ann", "train"), ("bob", "train"), ("cat", "dev"))
            for i, text in enumerate(texts)]  # fmt: skip
    for name, speaker, split, text in [*rows, ("hum", "-", "noise", "")]:
        sound = sound_of(text.split(), rng) if text else rng.normal(0, 900, RATE).astype(np.int16)
        path = folder / f"{name}.ogg"
        soundfile.write(path, sound, RATE, format="OGG", subtype="VORBIS")
        append_to_corpus(
            folder,
            Utterance(corpus="toy", name=name, speaker=speaker, split=split,
                      seconds=len(sound) / RATE, text=text, path=path),
        )  # fmt: skip
    return folder


@pytest.fixture(scope="session")
def packed(corpus, tmp_path_factory) -> Path:
    out = tmp_path_factory.mktemp("pack")
    pack([corpus], LEXICON, out)
    return out


@pytest.fixture
def rows(packed):
    return json.loads((packed / "utterances.json").read_text(encoding="utf-8"))
