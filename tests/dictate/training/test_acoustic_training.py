"""Every step on toy data: train, stop, go on, align, splice, evaluate, export."""

import json
from itertools import product
from random import Random

import numpy as np
import pytest
import torch

from dictate.training import align, evaluate, train
from dictate.training import export as exporting
from dictate.training.align import best_path, word_bounds
from dictate.training.batches import Sampler, gather
from dictate.training.evaluate import edit_distance, greedy
from dictate.training.network import load_network
from dictate.training.packs import Example, Piece, load_packs, numbers

CPU = torch.device("cpu")


@pytest.fixture(scope="module")
def trained(packed, small, tmp_path_factory):
    """Train for 100 steps, stopped half-way and taken up again."""
    torch.set_num_threads(1)
    folder = tmp_path_factory.mktemp("run")
    train.main([str(folder), str(packed), "--steps", "50", "--until", "0.5", *small])
    first = torch.load(folder / "checkpoint.pt", weights_only=True)
    assert first["step"] == 50
    train.main([str(folder), str(packed), "--steps", "50", *small])
    assert torch.load(folder / "checkpoint.pt", weights_only=True)["step"] == 100
    return folder


def test_a_stopped_run_goes_on_and_learns(trained, packed):
    pack = load_packs([packed], CPU)
    network = load_network(trained / "network.pt")
    error = evaluate.evaluate(network, pack.audio, pack.dev["toy"], "quiet")
    assert error < 0.5  # guessing gives far more than 1
    assert (trained / "phone_errors.json").is_file()


def test_alignment_chooses_sounds_and_cuts_words(trained, packed, lexicon, tmp_path):
    out = tmp_path / "variants.json"
    align.main([str(trained / "network.pt"), str(packed), "--out", str(out), "--cut", "toy"])
    variants = json.loads(out.read_text())
    assert variants["toy/ann0"] == ["AA IY"]
    cuts = json.loads((packed / "cuts.json").read_text())
    pack = load_packs([packed], CPU, variants=variants)
    uncut = load_packs([packed], CPU)
    assert {one.corpus for one in uncut.train} == {"toy"}
    (packed / "cuts.json").unlink()
    spliced = [one for one in pack.train if one.corpus == "toy-cuts"]
    assert len(spliced) == len(cuts)
    for one in spliced:
        assert 0 < one.length < 16000
        assert one.phones in {numbers(sounds) for sounds in lexicon[one.text]}


def test_evaluation_and_export_run_from_the_command_line(trained, packed, tmp_path, capsys):
    evaluate.main([str(trained / "network.pt"), str(packed)])
    printed = json.loads(capsys.readouterr().out)
    assert set(printed["toy"]) == set(evaluate.CONDITIONS)
    exporting.main([str(trained / "network.pt"), str(tmp_path / "final.mdl"), "--sharpen", "2"])
    assert (tmp_path / "final.mdl").stat().st_size > 10_000


def test_best_path_is_the_likeliest_of_all():
    """Checked against every path there is."""
    rng = np.random.default_rng(2)
    for phones in ([1, 2], [1, 1], [2]):
        scores = np.log(rng.dirichlet(np.ones(3), 5))
        best, said = -np.inf, None
        for path in product(range(3), repeat=5):
            merged = [p for t, p in enumerate(path) if p and (t == 0 or path[t - 1] != p)]
            total = sum(scores[t, p] for t, p in enumerate(path))
            if merged == phones and total > best:
                best, said = total, path
        starts = [t for t, p in enumerate(said) if p and (t == 0 or said[t - 1] != p)]
        assert best_path(scores, phones) == starts


def test_word_bounds_lie_between_the_words():
    bounds = word_bounds([4, 8, 20, 24], [2, 2], 40)
    assert bounds[0][0] == 0
    assert bounds[0][1] == pytest.approx(bounds[1][0], abs=1)
    assert 8 < bounds[0][1] <= 20
    assert bounds[1][1] <= 40


@pytest.mark.parametrize(
    ("heard", "said", "edits"),
    [([], [1, 2], 2), ([1, 2], [1, 2], 0), ([1, 3, 2], [1, 2], 1), ([2], [1], 1)],
)
def test_edit_distance(heard, said, edits):
    assert edit_distance(heard, said) == edits


def test_greedy_merges_repeats_and_drops_blanks():
    best = torch.tensor([[0, 1, 1, 0, 1, 2, 2, 9]])
    outputs = torch.nn.functional.one_hot(best, 10).float()
    assert greedy(outputs, torch.tensor([7])) == [[1, 1, 2]]


def _words_of(speaker, words, corpus="toy_two-cuts"):
    return [
        Example(corpus=corpus, speaker=speaker, pieces=(Piece(i, 4000, (1,)),), text=word)
        for i, word in enumerate(words)
    ]


def test_numbers_are_put_together_of_one_speakers_own_words():
    said = ["four", "twelve", "oh", "six", "double", "forty", "one"]
    examples = [*_words_of("ann", said[:5]), *_words_of("ann", said[5:], "toy-cuts")]
    examples += _words_of("bob", ["left", "four", "two"])
    sampler = Sampler(examples, {})

    joined = [
        one
        for batch in sampler.batches(Random(1), samples=10**7, count=400, join=0.0)
        for one in batch
        if len(one.pieces) > 1
    ]

    assert len(joined) > 200  # cut words are joined whatever the chance for others
    assert all(
        set(one.text.split()) <= set(said if one.speaker == "ann" else ["left", "four", "two"])
        for one in joined
    )
    numbers_said = {one.text for one in joined if one.speaker == "ann"}
    assert any("forty one" in text or "four twelve" in text for text in numbers_said)


def test_splices_fade_and_do_not_click():
    audio = torch.full((8000,), 1000, dtype=torch.int16)
    one = Example(
        corpus="a", speaker="b", text="x y", pieces=(Piece(0, 4000, (1,)), Piece(4000, 4000, (2,)))
    )
    signal = gather(audio, [one], Random(0), vary=False).signals[0]
    assert signal.diff().abs().max() < 20
    assert signal.max() == 1000
