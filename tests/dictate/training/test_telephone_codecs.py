"""Real codecs between a recording and training: lengths, places and pronunciations must hold."""

import json

import numpy as np
import pytest

from dictate.training.corpus import RATE
from dictate.training.recode import CODECS, main, recode, through

VOICE = (  # a vowel-like sound with silence before it
    np.concatenate(
        [
            np.zeros(RATE // 2),
            sum(
                4000 / h * np.sin(2 * np.pi * 150 * h * np.arange(RATE) / RATE)
                for h in range(1, 12)
            ),
        ]
    )
).astype(np.int16)


@pytest.mark.parametrize("name", sorted(CODECS))
def test_a_codec_keeps_length_and_time(name):
    back = through(CODECS[name], VOICE, 0.5)

    assert len(back) == len(VOICE)
    shifts = range(-320, 321, 8)
    alike = [np.corrcoef(np.roll(VOICE, shift), back)[0, 1] for shift in shifts]
    assert abs(list(shifts)[int(np.argmax(alike))]) <= 16  # 1 ms
    assert max(alike) > 0.8


@pytest.mark.parametrize("name", sorted(CODECS))
def test_silence_and_clicks_survive(name):
    for samples in (np.zeros(3000, np.int16), np.array([3, -2, 1], np.int16)):
        assert len(through(CODECS[name], samples)) == len(samples)


def test_telephone_codecs_lose_what_is_above_their_band():
    t = np.arange(RATE) / RATE
    hiss = (8000 * np.sin(2 * np.pi * 6000 * t)).astype(np.int16)
    lower = [n for n, c in CODECS.items() if c.rate == 8000]
    assert all(np.abs(through(CODECS[n], hiss + VOICE[-RATE:])).max() > 1000 for n in lower)
    for name in ("mu-law", "a-law", "plain-8k"):
        spectrum = np.abs(np.fft.rfft(through(CODECS[name], hiss + VOICE[-RATE:])))
        assert spectrum[5900:6100].max() < 0.02 * spectrum.max()


def test_a_recoded_pack_has_the_training_rows_and_their_cuts(packed, rows, tmp_path):
    cuts = [{"key": "toy/ann0", "at": 0, "word": "low", "from": 0, "samples": 100},
            {"key": "toy/cat0", "at": 0, "word": "low", "from": 0, "samples": 100}]  # fmt: skip
    (packed / "cuts.json").write_text(json.dumps(cuts))
    try:
        count = recode(packed, tmp_path / "coded", seed=3)
    finally:
        (packed / "cuts.json").unlink()

    train = [row for row in rows if row["split"] == "train"]
    coded = json.loads((tmp_path / "coded" / "utterances.json").read_text())
    assert count == len(train) == len(coded)
    assert [r["name"] for r in coded] == [r["name"] for r in train]
    assert [r["length"] for r in coded] == [r["length"] for r in train]
    audio = np.load(tmp_path / "coded" / "audio.npy")
    assert len(audio) == sum(r["length"] for r in coded)
    assert json.loads((tmp_path / "coded" / "cuts.json").read_text()) == cuts[:1]


def test_corpora_are_chosen_by_pattern(packed, tmp_path, capsys):
    main([str(packed), str(tmp_path / "coded"), "--corpora", "an4|to.*", "--processes", "1"])
    assert "recordings in" in capsys.readouterr().out
