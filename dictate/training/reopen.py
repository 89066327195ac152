"""Before training on: make a network from a model's `final.mdl`: `python -m dictate.training.reopen …`.

Undoes the folding of `dictate.training.export`: what each normalisation sees is measured on some
recordings, so that the network in training computes what the model does. Lets a new accent, machine
or vocabulary be learnt on top of the bundled model instead of from nothing.
"""

import argparse
import random
import re
import struct
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch
from torch import Tensor, nn

from dictate.training import CorpusError
from dictate.training.batches import gather
from dictate.training.corpus import RATE
from dictate.training.evaluate import CONDITIONS, hold_last_frame
from dictate.training.features import Mfcc, frame_count
from dictate.training.network import Network, Shape, save_network
from dictate.training.packs import Example, load_packs

_HEARD_AS = ("quiet", "10 dB", "0 dB")
"""Conditions that the normalisations are measured in: what training will show them."""
_RECORDINGS = 240


@dataclass(frozen=True, slots=True, kw_only=True)
class Affine:
    """Weights [outputs, inputs] and bias [outputs] of one layer of a model's file."""

    weights: Tensor
    bias: Tensor


def read_affine_layers(path: Path) -> tuple[list[Affine], list[int]]:
    """Return the affine layers of a binary `final.mdl` in order, and the blocks' reaches (frames).

    Raises CorpusError when the file is not one that `export` wrote.
    """
    content = path.read_bytes()
    if b"<Nnet3> " not in content:
        raise CorpusError("not a binary Kaldi network", where=str(path))
    layers = list(_affine_layers(content))
    splices = re.findall(rb"input=Append\(Offset\([^\n]*?, -(\d+)\), [^\n]*?\)\n", content)
    reaches = [int(reach) for reach in splices[2:]]
    if len(layers) != 3 + 2 * len(reaches):
        raise CorpusError(
            f"{len(layers)} layers do not make a network of {len(reaches)} blocks",
            where=str(path), remedy="Give a final.mdl made by dictate.training.export",
        )  # fmt: skip
    return layers, reaches


def _affine_layers(content: bytes) -> Iterator[Affine]:
    at = 0
    mark = b"<LinearParams> "
    while (at := content.find(mark, at)) >= 0:
        weights, at = _matrix(content, at + len(mark))
        at = content.index(b"<BiasParams> FV ", at) + len(b"<BiasParams> FV ")
        (size,) = struct.unpack("<xi", content[at : at + 5])
        bias = np.frombuffer(content, "<f4", size, at + 5)
        yield Affine(weights=torch.tensor(weights), bias=torch.tensor(bias))


def _matrix(content: bytes, at: int) -> tuple[np.ndarray, int]:
    """Read a plain or a 16-bit matrix (`CM2`, as Kaldi's compressed-matrix.cc has it)."""
    if content.startswith(b"FM ", at):
        rows, columns = struct.unpack("<xixi", content[at + 3 : at + 13])
        end = at + 13 + 4 * rows * columns
        return np.frombuffer(content[at + 13 : end], "<f4").reshape(rows, columns), end
    if not content.startswith(b"CM2 ", at):
        raise CorpusError("weights of 8 bits are too coarse to train on")
    least, reach, rows, columns = struct.unpack("<ffii", content[at + 4 : at + 20])
    end = at + 20 + 2 * rows * columns
    steps = np.frombuffer(content[at + 20 : end], "<u2").reshape(rows, columns)
    return (least + reach * steps.astype("f4") / 65535).astype("f4"), end


@torch.no_grad()
def reopen(
    path: Path, features: Tensor, *, sharpen: float = 1.0, blank_penalty: float = 0.0,
    dropout: float = 0.1,
) -> Network:  # fmt: skip
    """Return a network that computes what `path` does on `features` [recordings, frames, 40].

    `sharpen` and `blank_penalty` are those of its export, and are taken back.
    """
    layers, reaches = read_affine_layers(path)
    front, reduce, *blocks, out = layers
    shape = Shape(
        outputs=len(out.bias), front=len(front.bias), width=len(reduce.bias),
        bottleneck=len(blocks[0].bias), reaches=tuple(reaches), dropout=dropout,
    )  # fmt: skip
    network = Network(shape).to(features.device).eval()
    network.mean.copy_(features.mean((0, 1)))
    network.deviation.copy_(features.std((0, 1)))
    front_weights = front.weights.to(features.device)
    shift = front_weights @ network.mean.repeat(5)
    network.front.weight.copy_(front_weights * network.deviation.repeat(5))
    _carry(network, network.front, network.front_norm.norm, front.bias, features, shift=shift)
    network.reduce.weight.copy_(reduce.weights)
    _carry(network, network.reduce, network.reduce_norm.norm, reduce.bias, features)
    for block, down, up in zip(network.blocks, blocks[::2], blocks[1::2], strict=True):
        block.down.weight.copy_(down.weights)
        block.up.weight.copy_(up.weights)
        _carry(network, block.up, block.norm.norm, up.bias, features)
    bias = out.bias.clone()
    bias[0] += blank_penalty
    network.out.weight.copy_(out.weights / sharpen)
    network.out.bias.copy_(bias / sharpen)
    return network


class _Seen(Exception):
    """Ends a forward pass at the layer of interest."""


def _carry(
    network: Network, layer: nn.Linear, norm: nn.BatchNorm1d, bias: Tensor, features: Tensor,
    shift: Tensor | float = 0.0,
) -> None:  # fmt: skip
    """Set `norm` so that normalising the layer's output on `features` adds `bias` and `shift`."""
    seen: list[Tensor] = []

    def look(_layer: nn.Module, _inputs: object, output: Tensor) -> None:
        seen.append(output.flatten(0, 1))
        raise _Seen

    hook = layer.register_forward_hook(look)
    try:
        network(features)
    except _Seen:
        pass
    finally:
        hook.remove()
    spread = seen[0].std(0).clamp(min=1e-3)
    norm.running_mean.copy_(seen[0].mean(0) / spread)
    norm.running_var.fill_(1.0)
    norm.weight.copy_(spread * (1 + norm.eps) ** 0.5)
    norm.bias.copy_(seen[0].mean(0) + bias.to(spread.device) + shift)
    layer.weight.div_(spread[:, None])


def _some_features(audio: Tensor, examples: Sequence[Example]) -> Tensor:
    """Features [recordings, frames, 40] of recordings of one to three seconds, in all conditions."""
    rng = random.Random(1)
    fitting = [one for one in examples if RATE < one.length < 3 * RATE]
    chosen = rng.sample(fitting, min(_RECORDINGS, len(fitting)))
    batch = gather(audio, chosen, rng, vary=False)
    mfcc = Mfcc().to(audio.device)
    signals = torch.cat([CONDITIONS[name](batch.signals) for name in _HEARD_AS])
    frames = frame_count(batch.lengths).repeat(len(_HEARD_AS))
    return hold_last_frame(mfcc(signals.round().clamp(-32768, 32767)), frames)


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("model", type=Path, help="final.mdl of a model")
    parser.add_argument("out", type=Path, help="network.pt to write")
    parser.add_argument("packs", type=Path, nargs="+")
    parser.add_argument("--sharpen", type=float, default=1.0, help="as it was exported with")
    parser.add_argument("--blank-penalty", type=float, default=0.0)
    options = parser.parse_args(arguments)
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    pack = load_packs(options.packs, device)
    features = _some_features(pack.audio, pack.train)
    network = reopen(
        options.model, features, sharpen=options.sharpen, blank_penalty=options.blank_penalty
    )
    save_network(options.out, network.cpu())


if __name__ == "__main__":
    main()
