"""The operators of an ONNX graph as Kokoro's has them, on PyTorch's tensors.

Each takes the node's attributes and then its inputs, as https://onnx.ai/onnx/operators has them.
"""

from collections.abc import Callable, Mapping
from typing import Any

import torch
from torch import Tensor
from torch.nn import functional

from dictate.training.onnx_shapes import (
    Attributes,
    cast,
    choose,
    cut_out,
    fill,
    gather,
    pad,
    parts,
    reshape,
    resize,
    same,
    scatter_nd,
    squeeze,
    unsqueeze,
)


def _two(function: Callable[[Tensor, Tensor], Tensor]) -> Callable[..., Tensor]:
    return lambda _a, x, y: function(*same(x, y))


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


def _mean(a: Attributes, x: Tensor, axes: Tensor | None = None) -> Tensor:
    at = a.get("axes") or axes.tolist()
    return x.mean(at, keepdim=bool(a.get("keepdims", 1)))


def _sum(a: Attributes, x: Tensor, axes: Tensor | None = None) -> Tensor:
    at = axes.tolist() if axes is not None else list(range(x.ndim))
    return x.sum(at, keepdim=bool(a.get("keepdims", 1)))


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


def _cumsum(_a: Attributes, x: Tensor, axis: Tensor) -> Tensor:
    return x.cumsum(int(axis))


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


def _div(_a: Attributes, x: Tensor, y: Tensor) -> Tensor:
    x, y = same(x, y)
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
    y, scale = same(y.to(scale.device), scale)
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
    "Cast": cast, "Reshape": reshape, "Gather": gather, "Unsqueeze": unsqueeze,
    "Squeeze": squeeze, "ReduceMean": _mean, "ReduceSum": _sum, "Split": parts, "Slice": cut_out,
    "Shape": lambda a, x: torch.tensor(list(x.shape)[a.get("start", 0) : a.get("end")]),
    "Transpose": lambda a, x: x.permute(*a["perm"]),
    "Concat": lambda a, *xs: torch.cat(same(*xs), a["axis"]),
    "LeakyRelu": lambda a, x: functional.leaky_relu(x, a.get("alpha", 0.01)),
    "Softmax": lambda a, x: x.softmax(a.get("axis", -1)),
    "LayerNormalization": _layer_norm, "SkipLayerNormalization": _skip_norm,
    "FastGelu": _fast_gelu, "FusedMatMul": _fused_matmul, "Where": choose,
    "ConstantOfShape": fill, "Resize": resize, "ConvTranspose": _conv_transpose, "Conv": convolve,
    "Expand": lambda _a, x, shape: x.expand(torch.broadcast_shapes(x.shape, shape.tolist())),
    "CumSum": _cumsum, "Clip": _clip, "Pad": pad, "STFT": _stft, "ScatterND": scatter_nd,
    "Range": lambda _a, b, e, s: torch.arange(b.item(), e.item(), s.item(), dtype=b.dtype),
    "NonZero": lambda _a, x: x.nonzero().T, "DequantizeLinear": dequantize,
    "DynamicQuantizeLinear": lambda _a, x: [x, torch.ones(()), torch.zeros(())],
}  # fmt: skip
