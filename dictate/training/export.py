"""Step 6: write a network as Kaldi's `final.mdl`: `python -m dictate.training.export NETWORK OUT`.

Feature normalisation and batch normalisation are folded into the affine layers, so that nothing
but affine layers, ReLU and sums is left.
"""

import argparse
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import torch
from torch import Tensor, nn

from dictate.decoder.kaldi_files import Layer, write_acoustic
from dictate.training import CorpusError
from dictate.training.network import Network, load_network


def as_layers(network: Network, *, sharpen: float = 1.0, blank_penalty: float = 0.0) -> list[Layer]:
    """Return the network as plain affine layers, in order.

    The outputs are made `sharpen` times as sure (training with noise and two views leaves them
    cautious, and the language model would outvote them), and blank loses `blank_penalty` (natural
    log), so that short words are not passed over.
    """
    spread = network.deviation.double().repeat(5)
    front = network.front.weight.double() / spread
    shift = -front @ network.mean.double().repeat(5)
    layers = [
        _layer((-2, -1, 0, 1, 2), *_folded(front, network.front_norm.norm, shift)),
        _layer((-1, 0, 1), *_folded(network.reduce.weight, network.reduce_norm.norm)),
    ]
    for block, reach in zip(network.blocks, network.shape.reaches, strict=True):
        before = len(layers) - 1
        down = block.down.weight.double()
        layers.append(_layer((-reach, 0, reach), down, torch.zeros(len(down)), relu=False))
        layers.append(_layer((0,), *_folded(block.up.weight, block.norm.norm), skip_from=before))
    bias = sharpen * network.out.bias.detach().double()
    bias[0] -= blank_penalty
    layers.append(_layer((0,), sharpen * network.out.weight, bias, relu=False))
    return layers


def _folded(
    weights: Tensor, norm: nn.BatchNorm1d, shift: Tensor | float = 0.0
) -> tuple[Tensor, Tensor]:
    """Weights and bias of `norm(weights @ x + shift)`."""
    scale = norm.weight.double() / torch.sqrt(norm.running_var.double() + norm.eps)
    bias = norm.bias.double() + scale * (shift - norm.running_mean.double())
    return scale[:, None] * weights.double(), bias


def _layer(
    offsets: tuple[int, ...], weights: Tensor, bias: Tensor, *, relu: bool = True,
    skip_from: int | None = None,
) -> Layer:  # fmt: skip
    return Layer(
        offsets=offsets,
        weights=weights.detach().float().numpy(),
        bias=bias.detach().float().numpy(),
        relu=relu,
        skip_from=skip_from,
    )


def mean_layers(several: Sequence[Sequence[Layer]], weights: Sequence[float]) -> list[Layer]:
    """Return the weighted mean of networks of one shape, layer by layer.

    Of plain layers, with the normalisations folded in: networks that compute the same are then the
    same, however each came to its normalisations. Networks trained on from one another lie close
    enough for their mean to be a good network (Wortsman et al. 2022, robust fine-tuning).
    """
    total = sum(weights)
    return [
        replace(
            same[0],
            weights=sum(w / total * one.weights for w, one in zip(weights, same, strict=True)),
            bias=sum(w / total * one.bias for w, one in zip(weights, same, strict=True)),
        )
        for same in zip(*several, strict=True)
    ]


def export(
    networks: Sequence[Network], path: Path, *, weights: Sequence[float] | None = None,
    sharpen: float = 1.0, blank_penalty: float = 0.0,
) -> None:  # fmt: skip
    """Write `final.mdl` for a network, or for the weighted mean of several of one shape."""
    if len({network.shape for network in networks}) != 1:
        raise CorpusError("networks of different shapes have no mean", where=str(path))
    context = networks[0].shape.context
    several = [as_layers(one, sharpen=sharpen, blank_penalty=blank_penalty) for one in networks]
    layers = mean_layers(several, weights or [1.0] * len(several))
    write_acoustic(path, layers, left_context=context, right_context=context)


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("networks", type=Path, nargs="+", help="several are averaged")
    parser.add_argument("--weights", type=float, nargs="+", help="of the networks in the average")
    parser.add_argument("out", type=Path, help="final.mdl to write")
    parser.add_argument("--sharpen", type=float, default=1.0)
    parser.add_argument("--blank-penalty", type=float, default=0.0)
    options = parser.parse_args(arguments)
    if options.weights and len(options.weights) != len(options.networks):
        parser.error("give one weight for each network")
    export(
        [load_network(path) for path in options.networks], options.out, weights=options.weights,
        sharpen=options.sharpen, blank_penalty=options.blank_penalty,
    )  # fmt: skip


if __name__ == "__main__":
    main()
