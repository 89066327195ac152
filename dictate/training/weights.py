"""Networks on disk: shape and weights, at half precision."""

from dataclasses import asdict
from pathlib import Path

import torch

from dictate.training.corpus import CorpusError
from dictate.training.network import Network, Shape


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
