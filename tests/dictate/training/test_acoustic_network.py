"""The network sees what it should, and its exported layers give the same numbers."""

from dataclasses import replace

import numpy as np
import pytest
import torch

from dictate.decoder.phones import ARPABET
from dictate.training import CorpusError
from dictate.training.export import as_layers, export, mean_layers
from dictate.training.network import Network, Shape, load_network, save_network
from dictate.training.packs import PHONES
from dictate.training.recipe import read_recipe
from dictate.training.reopen import read_affine_layers, reopen

SHAPE = Shape(outputs=40, front=8, width=12, bottleneck=4, reaches=(3, 6), dropout=0.0)


@pytest.fixture
def network():
    """Random weights and, so that folding is put to the test, random statistics."""
    torch.manual_seed(1)
    made = Network(SHAPE)
    with torch.no_grad():
        for name, value in made.state_dict().items():
            if value.is_floating_point() and value.ndim == 1:
                value.copy_(torch.rand_like(value) + (0.5 if "var" in name else 0.0))
        made.deviation.add_(0.5)
    return made.eval()


def test_outputs_stand_in_the_recognisers_order():
    assert tuple(PHONES) == ARPABET


@pytest.mark.parametrize(("frames", "outputs"), [(1, 1), (3, 1), (4, 2), (100, 34)])
def test_one_output_for_every_three_frames(network, frames, outputs):
    assert network(torch.randn(2, frames, 40)).shape == (2, outputs, 40)


@torch.no_grad()
def test_an_output_sees_its_context_and_no_further(network):
    features = torch.randn(1, 120, 40)
    before = network(features)
    features[0, 60] += 1
    moved = (network(features) - before).abs().amax(-1)[0] > 0
    seen = [3 * i for i in range(40) if moved[i]]
    assert seen[0] >= 60 - SHAPE.context
    assert seen[-1] <= 60 + SHAPE.context
    assert len(seen) > 2


@torch.no_grad()
def test_exported_layers_compute_the_network(network):
    """The layers are worked out frame by frame in NumPy, as Kaldi would."""
    features = torch.randn(1, 30, 40)
    context = SHAPE.context
    padded = np.pad(features[0].numpy(), ((context, context + 2), (0, 0)), mode="edge")
    values = {t - context: row for t, row in enumerate(padded)}
    history = []
    for layer in as_layers(network):
        current = {}
        for t in values:
            if all(t + offset in values for offset in layer.offsets):
                spliced = np.concatenate([values[t + offset] for offset in layer.offsets])
                value = layer.weights @ spliced + layer.bias
                value = np.maximum(value, 0) if layer.relu else value
                if layer.skip_from is not None:
                    value = value + history[layer.skip_from][t]
                current[t] = value
        history.append(current)
        values = current
    logits = torch.tensor(np.stack([values[t] for t in range(0, 30, 3)]))
    assert torch.allclose(logits.log_softmax(-1), network(features)[0], atol=1e-4)


@torch.no_grad()
def test_sharpening_and_blank_penalty_change_the_outputs_as_said(network):
    plain, changed = as_layers(network)[-1], as_layers(network, sharpen=3, blank_penalty=2)[-1]
    assert changed.weights == pytest.approx(3 * plain.weights, abs=1e-5)
    assert changed.bias[1:] == pytest.approx(3 * plain.bias[1:], abs=1e-5)
    assert changed.bias[0] == pytest.approx(3 * plain.bias[0] - 2, abs=1e-5)


@torch.no_grad()
def test_a_reopened_file_computes_the_same(network, tmp_path):
    """What export folds in, reopening takes apart: whatever the sounds it measures on."""
    export([network], tmp_path / "final.mdl", sharpen=3, blank_penalty=2)

    again = reopen(
        tmp_path / "final.mdl", 5 * torch.randn(6, 80, 40) + 1, sharpen=3, blank_penalty=2
    )

    features = torch.randn(2, 50, 40)
    assert again.shape.reaches == SHAPE.reaches
    assert torch.allclose(again(features), network(features), atol=5e-3)  # 16 bits in the file
    assert again.front_norm.norm.running_var == pytest.approx(torch.ones(SHAPE.front))


def test_only_exported_files_are_reopened(network, tmp_path):
    export([network], tmp_path / "final.mdl")
    whole = (tmp_path / "final.mdl").read_bytes()
    (tmp_path / "cut.mdl").write_bytes(whole.replace(b"<LinearParams> ", b"<OtherParams> ", 1))
    (tmp_path / "notes.txt").write_text("cow four twelve")

    with pytest.raises(CorpusError, match="do not make a network"):
        read_affine_layers(tmp_path / "cut.mdl")
    with pytest.raises(CorpusError, match="not a binary Kaldi network"):
        read_affine_layers(tmp_path / "notes.txt")


def test_the_file_is_kaldis_binary_form(network, tmp_path):
    export([network], tmp_path / "am" / "final.mdl")
    content = (tmp_path / "am" / "final.mdl").read_bytes()
    assert content.startswith(b"\0B<TransitionModel> ")
    assert b"<Nnet3> " in content


def test_weights_survive_the_disk(network, tmp_path):
    save_network(tmp_path / "a.pt", network)
    again = load_network(tmp_path / "a.pt")
    features = torch.randn(1, 20, 40)
    assert torch.allclose(again(features), network(features), atol=2e-2)


@torch.no_grad()
def test_a_mean_does_not_depend_on_how_a_network_is_normalised(network, tmp_path):
    """A network and its reopened file compute the same, so their mean does too."""
    export([network], tmp_path / "a.mdl")
    again = reopen(tmp_path / "a.mdl", 3 * torch.randn(6, 80, 40) - 1)

    mean = mean_layers([as_layers(network), as_layers(again)], [0.3, 0.7])

    for one, other in zip(mean, as_layers(network), strict=True):
        assert one.weights == pytest.approx(other.weights, abs=2e-3)  # 16 bits in the file
        assert one.bias == pytest.approx(other.bias, abs=2e-3)


@torch.no_grad()
def test_weights_of_a_mean_are_shares(network):
    changed = as_layers(network, sharpen=3)
    mean = mean_layers([as_layers(network), changed], [1, 3])[-1]
    assert mean.weights == pytest.approx(2.5 * as_layers(network)[-1].weights, abs=1e-5)


@torch.no_grad()
def test_networks_trained_with_another_dropout_have_a_mean(network, tmp_path):
    other = Network(replace(SHAPE, dropout=0.3))
    other.load_state_dict(network.state_dict())
    export([network, other], tmp_path / "mean.mdl")
    export([network], tmp_path / "one.mdl")
    assert (tmp_path / "mean.mdl").read_bytes() == (tmp_path / "one.mdl").read_bytes()


def test_networks_of_different_shapes_have_no_mean(network, tmp_path):
    other = Network(replace(SHAPE, width=SHAPE.width + 8))
    with pytest.raises(CorpusError, match="different shapes"):
        export([network, other], tmp_path / "final.mdl")


def test_a_missing_network_is_an_error(tmp_path):
    with pytest.raises(CorpusError, match="no network"):
        load_network(tmp_path / "none.pt")


def test_recipe_changes_are_checked():
    assert read_recipe(["network.width=64"], outputs=40).shape.width == 64
    with pytest.raises(CorpusError, match="does not fit"):
        read_recipe(["network.depth=3"], outputs=40)
    with pytest.raises(CorpusError, match=r"section\.key"):
        read_recipe(["width"], outputs=40)
