"""The operators of an ONNX graph as Kokoro's has them, on PyTorch's tensors.

Each takes the node's attributes and then its inputs, as https://onnx.ai/onnx/operators has them.
"""

from collections.abc import Callable, Mapping
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


def _same(*values: Tensor) -> list[Tensor]:
    """Bring whole numbers over where they meet values on the device."""
    devices = {v.device for v in values if v.device.type != "cpu"}
    if not devices:
        return list(values)
    device = devices.pop()
    return [v if v.ndim == 0 and not v.is_cuda else v.to(device) for v in values]


def _two(function: Callable[[Tensor, Tensor], Tensor]) -> Callable[..., Tensor]:
    return lambda _a, x, y: function(*_same(x, y))


def _one(function: Callable[[Tensor], Tensor]) -> Callable[..., Tensor]:
    return lambda _a, x: function(x)


def convolve(a: Attributes, x: Tensor, w: Tensor, bias: Tensor | None = None) -> Tensor:
    pads = a.get("pads", [0, 0])
    half = len(pads) // 2
    if pads[:half] != pads[half:]:
        x = functional.pad(x, (pads[0], pads[1]))
        pads = [0, 0]
    options = {
        "stride": a.get("strides", [1]), "padding": pads[:half], "dilation": a.get("dilations", [1]),
        "groups": a.get("group", 1),
    }  # fmt: skip
    return (
        functional.conv1d(x, w, bias, **options)
        if x.ndim == 3
        else functional.conv2d(x, w, bias, **options)
    )


def _conv_transpose(a: Attributes, x: Tensor, w: Tensor, bias: Tensor | None = None) -> Tensor:
    pads = a.get("pads", [0, 0])
    return functional.conv_transpose1d(
        x, w, bias, stride=a.get("strides", [1]), padding=pads[:1],
        output_padding=a.get("output_padding", [0]), groups=a.get("group", 1), dilation=a.get("dilations", [1]),
    )  # fmt: skip


def _cast(a: Attributes, x: Tensor) -> Tensor:
    y = x.to(_DTYPES[a["to"]])
    return y.cpu() if y.dtype in {torch.int64, torch.int32} else y


def _reshape(a: Attributes, x: Tensor, shape: Tensor) -> Tensor:
    sizes = [
        x.shape[i] if s == 0 and not a.get("allowzero") else s for i, s in enumerate(shape.tolist())
    ]
    return x.reshape(sizes)


def _gather(a: Attributes, x: Tensor, at: Tensor) -> Tensor:
    axis = a.get("axis", 0)
    if at.ndim == 0:
        return x.select(axis, int(at) % x.shape[axis] if int(at) < 0 else int(at))
    flat = at.to(x.device).flatten().long()
    flat = torch.where(flat < 0, flat + x.shape[axis], flat)
    y = x.index_select(axis, flat)
    axis %= x.ndim
    return y.reshape([*x.shape[:axis], *at.shape, *x.shape[axis + 1 :]])


def _unsqueeze(_a: Attributes, x: Tensor, axes: Tensor) -> Tensor:
    rank = x.ndim + axes.numel()
    for axis in sorted(i % rank for i in axes.flatten().tolist()):
        x = x.unsqueeze(axis)
    return x


def _squeeze(_a: Attributes, x: Tensor, axes: Tensor | None = None) -> Tensor:
    if axes is None:
        return x.squeeze()
    for axis in sorted((i % x.ndim for i in axes.flatten().tolist()), reverse=True):
        x = x.squeeze(axis)
    return x


def _mean(a: Attributes, x: Tensor, axes: Tensor | None = None) -> Tensor:
    at = a.get("axes") or axes.tolist()
    return x.mean(at, keepdim=bool(a.get("keepdims", 1)))


def _sum(a: Attributes, x: Tensor, axes: Tensor | None = None) -> Tensor:
    at = axes.tolist() if axes is not None else list(range(x.ndim))
    return x.sum(at, keepdim=bool(a.get("keepdims", 1)))


def _split(a: Attributes, x: Tensor, sizes: Tensor | None = None) -> list[Tensor]:
    axis = a.get("axis", 0)
    if sizes is None:
        return list(x.chunk(a["num_outputs"], axis))
    return list(x.split(sizes.tolist(), axis))


def _slice(
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


def _layer_norm(a: Attributes, x: Tensor, scale: Tensor, bias: Tensor | None = None) -> Tensor:
    axis = a.get("axis", -1) % x.ndim
    return functional.layer_norm(x, x.shape[axis:], scale, bias, a.get("epsilon", 1e-5))


def _skip_norm(
    a: Attributes, x: Tensor, skip: Tensor, gamma: Tensor, beta: Tensor, bias: Tensor | None = None
) -> list[Tensor]:
    total = x + skip if bias is None else x + skip + bias
    y = functional.layer_norm(total, total.shape[-1:], gamma, beta, a.get("epsilon", 1e-12))
    return [y, y, y, total]


def _fast_gelu(_a: Attributes, x: Tensor, bias: Tensor | None = None) -> Tensor:
    return functional.gelu(x if bias is None else x + bias, approximate="tanh")


def _fused_matmul(a: Attributes, x: Tensor, y: Tensor) -> Tensor:
    if a.get("transA"):
        x = x.transpose(-1, -2)
    if a.get("transB"):
        y = y.transpose(-1, -2)
    return a.get("alpha", 1.0) * (x @ y)


def _where(_a: Attributes, c: Tensor, x: Tensor, y: Tensor) -> Tensor:
    device = next((v.device for v in (c, x, y) if v.is_cuda), c.device)
    return torch.where(c.to(device), x.to(device), y.to(device))


def _fill(a: Attributes, shape: Tensor) -> Tensor:
    value = (
        torch.from_numpy(np.array(numpy_helper.to_array(a["value"])))
        if "value" in a
        else torch.zeros(1)
    )
    return torch.full(shape.tolist(), value.item(), dtype=value.dtype)


def _resize(
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


def _cumsum(_a: Attributes, x: Tensor, axis: Tensor) -> Tensor:
    return x.cumsum(int(axis))


def _pad(
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


def _stft(
    a: Attributes,
    x: Tensor,
    step: Tensor,
    window: Tensor | None = None,
    length: Tensor | None = None,
) -> Tensor:
    signal = x.squeeze(-1) if x.ndim == 3 else x
    size = int(length) if length is not None else window.numel()
    bins = torch.stft(
        signal,
        size,
        int(step),
        window=window,
        center=False,
        return_complex=True,
        onesided=bool(a.get("onesided", 1)),
    )
    return torch.view_as_real(bins).transpose(1, 2)


def _scatter_nd(_a: Attributes, x: Tensor, at: Tensor, new: Tensor) -> Tensor:
    y = x.clone()
    at = at.to(y.device)
    y[tuple(at.unbind(-1))] = new.to(y.device)
    return y


def _div(_a: Attributes, x: Tensor, y: Tensor) -> Tensor:
    x, y = _same(x, y)
    if not x.is_floating_point() and not y.is_floating_point():
        return torch.div(x, y, rounding_mode="trunc")
    # A silent bin has no phase: 0 / 0 counts as none.
    return torch.nan_to_num(x / y, nan=0.0, posinf=torch.inf, neginf=-torch.inf)


def _clip(
    _a: Attributes, x: Tensor, low: Tensor | None = None, high: Tensor | None = None
) -> Tensor:
    return x.clamp(
        min=None if low is None else low.item(), max=None if high is None else high.item()
    )


def dequantize(a: Attributes, x: Tensor, scale: Tensor, zero: Tensor | None = None) -> Tensor:
    y = x.float() if zero is None else x.float() - zero.float()
    y, scale = _same(y.to(scale.device), scale)
    if scale.ndim == 1 and scale.numel() > 1:
        scale = scale.reshape([-1 if i == a.get("axis", 1) % x.ndim else 1 for i in range(x.ndim)])
    return y * scale


OPERATORS: Mapping[str, Callable[..., Any]] = {
    "Mul": _two(torch.mul), "Add": _two(torch.add), "Sub": _two(torch.sub), "Div": _div,
    "Pow": _two(torch.pow), "MatMul": _two(torch.matmul), "Equal": _two(torch.eq),
    "Greater": _two(torch.gt), "Less": _two(torch.lt), "GreaterOrEqual": _two(torch.ge),
    "And": _two(torch.logical_and), "Sqrt": _one(torch.sqrt), "Floor": _one(torch.floor),
    "Sin": _one(torch.sin), "Cos": _one(torch.cos), "Exp": _one(torch.exp), "Atan": _one(torch.atan),
    "Tanh": _one(torch.tanh), "Sigmoid": _one(torch.sigmoid), "Round": _one(torch.round),
    "Cast": _cast, "Reshape": _reshape, "Gather": _gather, "Unsqueeze": _unsqueeze,
    "Squeeze": _squeeze, "ReduceMean": _mean, "ReduceSum": _sum, "Split": _split, "Slice": _slice,
    "Shape": lambda a, x: torch.tensor(list(x.shape)[a.get("start", 0) : a.get("end")]),
    "Transpose": lambda a, x: x.permute(*a["perm"]),
    "Concat": lambda a, *xs: torch.cat(_same(*xs), a["axis"]),
    "LeakyRelu": lambda a, x: functional.leaky_relu(x, a.get("alpha", 0.01)),
    "Softmax": lambda a, x: x.softmax(a.get("axis", -1)),
    "LayerNormalization": _layer_norm, "SkipLayerNormalization": _skip_norm,
    "FastGelu": _fast_gelu, "FusedMatMul": _fused_matmul, "Where": _where,
    "ConstantOfShape": _fill, "Resize": _resize, "ConvTranspose": _conv_transpose, "Conv": convolve,
    "Expand": lambda _a, x, shape: x.expand(torch.broadcast_shapes(x.shape, shape.tolist())),
    "CumSum": _cumsum, "Clip": _clip, "Pad": _pad, "STFT": _stft, "ScatterND": _scatter_nd,
    "Range": lambda _a, b, e, s: torch.arange(b.item(), e.item(), s.item(), dtype=b.dtype),
    "NonZero": lambda _a, x: x.nonzero().T, "DequantizeLinear": dequantize,
    "DynamicQuantizeLinear": lambda _a, x: [x, torch.ones(()), torch.zeros(())],
}  # fmt: skip
