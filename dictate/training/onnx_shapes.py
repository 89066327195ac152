"""The operators of an ONNX graph that cast, shape, cut and put together values."""

from collections.abc import Mapping
from typing import Any

import numpy as np
import torch
from onnx import numpy_helper
from torch import Tensor
from torch.nn import functional

Attributes = Mapping[str, Any]
_DTYPES = {
    1: torch.float32, 6: torch.int32, 7: torch.int64, 9: torch.bool, 10: torch.float32,
    11: torch.float64, 2: torch.uint8, 3: torch.int8,
}  # fmt: skip
"""By ONNX's numbers; half precision (10) is not worth having."""


def same(*values: Tensor) -> list[Tensor]:
    """Bring whole numbers over where they meet values on the device."""
    devices = {v.device for v in values if v.device.type != "cpu"}
    if not devices:
        return list(values)
    device = devices.pop()
    return [v if v.ndim == 0 and not v.is_cuda else v.to(device) for v in values]


def cast(a: Attributes, x: Tensor) -> Tensor:
    y = x.to(_DTYPES[a["to"]])
    return y.cpu() if y.dtype in {torch.int64, torch.int32} else y


def reshape(a: Attributes, x: Tensor, shape: Tensor) -> Tensor:
    sizes = [
        x.shape[i] if s == 0 and not a.get("allowzero") else s for i, s in enumerate(shape.tolist())
    ]
    return x.reshape(sizes)


def gather(a: Attributes, x: Tensor, at: Tensor) -> Tensor:
    axis = a.get("axis", 0)
    if at.ndim == 0:
        return x.select(axis, int(at) % x.shape[axis] if int(at) < 0 else int(at))
    flat = at.to(x.device).flatten().long()
    flat = torch.where(flat < 0, flat + x.shape[axis], flat)
    y = x.index_select(axis, flat)
    axis %= x.ndim
    return y.reshape([*x.shape[:axis], *at.shape, *x.shape[axis + 1 :]])


def unsqueeze(_a: Attributes, x: Tensor, axes: Tensor) -> Tensor:
    rank = x.ndim + axes.numel()
    for axis in sorted(i % rank for i in axes.flatten().tolist()):
        x = x.unsqueeze(axis)
    return x


def squeeze(_a: Attributes, x: Tensor, axes: Tensor | None = None) -> Tensor:
    if axes is None:
        return x.squeeze()
    for axis in sorted((i % x.ndim for i in axes.flatten().tolist()), reverse=True):
        x = x.squeeze(axis)
    return x


def parts(a: Attributes, x: Tensor, sizes: Tensor | None = None) -> list[Tensor]:
    axis = a.get("axis", 0)
    if sizes is None:
        return list(x.chunk(a["num_outputs"], axis))
    return list(x.split(sizes.tolist(), axis))


def cut_out(
    _a: Attributes,
    x: Tensor,
    starts: Tensor,
    ends: Tensor,
    axes: Tensor | None = None,
    steps: Tensor | None = None,
) -> Tensor:
    begin, end = starts.flatten().tolist(), ends.flatten().tolist()
    at = axes.flatten().tolist() if axes is not None else list(range(len(begin)))
    by = steps.flatten().tolist() if steps is not None else [1] * len(begin)
    for b, e, axis, step in zip(begin, end, at, by, strict=True):
        size = x.shape[axis]
        if step < 0:
            index = torch.tensor(
                list(range(size))[slice(b, e if e > -size - 1 else None, step)], device=x.device
            )
            x = x.index_select(axis, index)
            continue
        picked = [slice(None)] * (axis % x.ndim) + [slice(b, e, step)]
        x = x[tuple(picked)]
    return x


def choose(_a: Attributes, c: Tensor, x: Tensor, y: Tensor) -> Tensor:
    device = next((v.device for v in (c, x, y) if v.is_cuda), c.device)
    return torch.where(c.to(device), x.to(device), y.to(device))


def fill(a: Attributes, shape: Tensor) -> Tensor:
    value = (
        torch.from_numpy(np.array(numpy_helper.to_array(a["value"])))
        if "value" in a
        else torch.zeros(1)
    )
    return torch.full(shape.tolist(), value.item(), dtype=value.dtype)


def resize(
    a: Attributes,
    x: Tensor,
    _roi: Tensor | None = None,
    scales: Tensor | None = None,
    sizes: Tensor | None = None,
) -> Tensor:
    if sizes is not None:
        size = sizes.tolist()[2:]
        factor = [s / n for s, n in zip(size, x.shape[2:], strict=True)]
    else:
        factor = scales.tolist()[2:]
        size = [int(np.floor(n * f)) for n, f in zip(x.shape[2:], factor, strict=True)]
    if a["mode"] == b"nearest":
        index = (
            torch.div(torch.arange(size[0], device=x.device), factor[0])
            .floor()
            .long()
            .clamp(max=x.shape[2] - 1)
        )
        return x.index_select(2, index)
    at = (torch.arange(size[0], device=x.device, dtype=torch.float64) + 0.5) / factor[0] - 0.5
    at = at.clamp(0, x.shape[2] - 1)
    left = at.floor().long()
    right = (left + 1).clamp(max=x.shape[2] - 1)
    share = (at - left).float()
    return x.index_select(2, left) * (1 - share) + x.index_select(2, right) * share


def pad(
    a: Attributes, x: Tensor, pads: Tensor, value: Tensor | None = None, _axes: Tensor | None = None
) -> Tensor:
    p = pads.tolist()
    half = len(p) // 2
    pairs = [n for i in reversed(range(half)) for n in (p[i], p[half + i])]
    while len(pairs) >= 2 and pairs[-2:] == [0, 0] and len(pairs) > 2:
        pairs = pairs[:-2]
    mode = a.get("mode", b"constant").decode()
    mode = {"edge": "replicate"}.get(mode, mode)
    if mode == "constant":
        return functional.pad(x, pairs, value=float(value) if value is not None else 0.0)
    return functional.pad(x, pairs, mode=mode)


def scatter_nd(_a: Attributes, x: Tensor, at: Tensor, new: Tensor) -> Tensor:
    y = x.clone()
    at = at.to(y.device)
    y[tuple(at.unbind(-1))] = new.to(y.device)
    return y
