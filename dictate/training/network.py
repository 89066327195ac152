"""The network: a factorised time-delay network with residual connections.

Every layer is affine over a few spliced frames, so it can be written as Kaldi nnet3 exactly: the
first two layers at 10 ms and 30 ms a frame, then blocks `x + relu(norm(up(down(spliced x))))`.
"""

from dataclasses import asdict, dataclass, field
from pathlib import Path

import torch
from torch import Tensor, nn
from torch.nn import functional

from dictate.training import CorpusError
from dictate.training.features import COEFFICIENTS

STRIDE = 3
"""Input frames an output frame."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """The sizes that, with the weights, make a network."""

    outputs: int
    """Blank and the phones."""
    front: int = 256
    """Units of the first layer, at 10 ms a frame."""
    width: int = 640
    bottleneck: int = 160
    reaches: tuple[int, ...] = (3, 3, 3, 3, 6, 6, 6, 6, 9, 9, 9, 9)
    """A block looks this many 10 ms frames back and ahead; multiples of 3."""
    dropout: float = field(default=0.1, compare=False)
    """Of training alone: networks that differ in it only have a mean."""

    @property
    def context(self) -> int:
        """Frames that all layers together look back, and ahead."""
        return 2 + 1 + sum(self.reaches)


class _Normal(nn.Module):
    """Batch normalisation over the last axis."""

    def __init__(self, width: int) -> None:
        super().__init__()
        self.norm = nn.BatchNorm1d(width, eps=1e-3)

    def forward(self, x: Tensor) -> Tensor:
        return self.norm(x.flatten(0, 1)).view(x.shape)


class _Block(nn.Module):
    """Splice, squeeze, widen, normalise, rectify, add."""

    def __init__(self, shape: Shape, reach: int) -> None:
        super().__init__()
        self.step = reach // STRIDE
        self.down = nn.Linear(3 * shape.width, shape.bottleneck, bias=False)
        self.up = nn.Linear(shape.bottleneck, shape.width, bias=False)
        self.norm = _Normal(shape.width)
        self.dropout = nn.Dropout(shape.dropout)

    def forward(self, x: Tensor) -> Tensor:
        step, last = self.step, x.shape[1]
        middle = x[:, step : last - step]
        spliced = torch.cat([x[:, : last - 2 * step], middle, x[:, 2 * step :]], -1)
        return middle + self.dropout(torch.relu(self.norm(self.up(self.down(spliced)))))


class Network(nn.Module):
    """MFCCs [batch, frames, 40] to log-probabilities [batch, ceil(frames / 3), outputs]."""

    def __init__(self, shape: Shape) -> None:
        super().__init__()
        self.shape = shape
        self.register_buffer("mean", torch.zeros(COEFFICIENTS))
        self.register_buffer("deviation", torch.ones(COEFFICIENTS))
        self.front = nn.Linear(5 * COEFFICIENTS, shape.front, bias=False)
        self.front_norm = _Normal(shape.front)
        self.reduce = nn.Linear(3 * shape.front, shape.width, bias=False)
        self.reduce_norm = _Normal(shape.width)
        self.blocks = nn.ModuleList(_Block(shape, reach) for reach in shape.reaches)
        self.out = nn.Linear(shape.width, shape.outputs)

    def forward(self, features: Tensor) -> Tensor:
        x = (features - self.mean) / self.deviation
        x = self._with_edges(x)
        x = torch.relu(self.front_norm(self.front(_splice(x, 5))))
        length = (x.shape[1] - 3) // STRIDE + 1
        x = torch.cat([x[:, i : i + STRIDE * length : STRIDE] for i in range(3)], -1)
        x = torch.relu(self.reduce_norm(self.reduce(x)))
        for block in self.blocks:
            x = block(x)
        return functional.log_softmax(self.out(x).float(), -1)

    def _with_edges(self, x: Tensor) -> Tensor:
        """Repeat the first and the last frame, as Kaldi does at both ends of a recording."""
        context = self.shape.context
        before = x[:, :1].expand(-1, context, -1)
        after = x[:, -1:].expand(-1, context, -1)
        return torch.cat([before, x, after], 1)


def _splice(x: Tensor, taps: int) -> Tensor:
    length = x.shape[1] - taps + 1
    return torch.cat([x[:, i : i + length] for i in range(taps)], -1)


def save_network(path: Path, network: Network) -> None:
    """Write shape and weights; whole or not at all."""
    state = {
        name: value.half() if value.ndim > 1 else value.clone()
        for name, value in network.state_dict().items()
    }
    path.parent.mkdir(parents=True, exist_ok=True)
    draft = path.with_suffix(".draft")
    torch.save({"shape": asdict(network.shape), "state": state}, draft)
    draft.replace(path)


def load_network(path: Path) -> Network:
    """Read what `save_network` wrote; raise CorpusError when there is none."""
    if not path.is_file():
        raise CorpusError("no network", where=str(path), remedy="Train one first")
    saved = torch.load(path, map_location="cpu", weights_only=True)
    shape = saved["shape"]
    network = Network(Shape(**{**shape, "reaches": tuple(shape["reaches"])}))
    network.load_state_dict({name: value.float() for name, value in saved["state"].items()})
    return network.eval()
