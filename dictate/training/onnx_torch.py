"""Run Kokoro's ONNX graph with PyTorch, so that it speaks on a graphics card without a runtime for one.

Weights are taken out of their quantisation and activations are not quantised at all. Whole numbers
(shapes, lengths) stay on the processor, everything else lies on the device.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import onnx
import torch
from onnx import helper, numpy_helper
from torch import Tensor

from dictate.training.onnx_operators import OPERATORS, convolve, dequantize
from dictate.training.onnx_shapes import Attributes


class OnnxOnTorch:
    """An ONNX model on a device; `run` answers as onnxruntime's session does."""

    def __init__(self, path: Path, device: torch.device) -> None:
        """Read the graph; only operators that Kokoro's has are known (`onnx_operators`)."""
        graph = onnx.load(str(path)).graph
        self.device = device
        self.outputs = [one.name for one in graph.output]
        self.constants = {t.name: self._place(numpy_helper.to_array(t)) for t in graph.initializer}
        self.plain: dict[str, Any] = {}
        """Weights out of their quantisation, by the name of the quantised ones."""
        last = {name: i for i, node in enumerate(graph.node) for name in node.input}
        kept = {*self.constants, *self.outputs}
        self.nodes = [
            (
                node.op_type,
                list(node.input),
                list(node.output),
                {a.name: helper.get_attribute_value(a) for a in node.attribute},
                [n for n in {*node.input, *node.output} - kept if last.get(n, -1) <= i],
            )
            for i, node in enumerate(graph.node)
        ]

    def _place(self, array: np.ndarray) -> Tensor:
        tensor = torch.from_numpy(np.array(array))
        return tensor.to(self.device) if tensor.is_floating_point() and tensor.ndim else tensor

    @torch.no_grad()
    def run(self, _: Sequence[str] | None, inputs: Mapping[str, np.ndarray]) -> list[np.ndarray]:
        """Return the outputs of the graph, in its order, as floats."""
        values = {name: self._place(array) for name, array in inputs.items()}
        for kind, ins, outs, attributes, done_with in self.nodes:
            arguments = [
                (values[n] if n in values else self.constants[n]) if n else None for n in ins
            ]
            result = self._node(kind, ins, arguments, attributes)
            values |= zip(
                outs, result if isinstance(result, tuple | list) else [result], strict=False
            )
            for name in done_with:
                values.pop(name, None)
        return [values[name].float().cpu().numpy() for name in self.outputs]

    def _node(self, kind: str, ins: Sequence[str], arguments: Sequence[Any], a: Attributes) -> Any:
        if kind in {"ConvInteger", "MatMulInteger"}:
            return self._integer(kind, ins, arguments, a)
        if kind == "DynamicQuantizeLSTM":
            return self._lstm(ins, arguments)
        if kind == "DequantizeLinear":
            return self._dequantised(ins[0], arguments, a)
        return OPERATORS[kind](a, *arguments)

    def _dequantised(self, name: str, arguments: Sequence[Any], a: Attributes) -> Tensor:
        """What quantised numbers stand for, on the device, wherever they and their scale lay."""
        if name in self.plain:
            return self.plain[name]
        plain = dequantize(a, *arguments).to(self.device)
        if name in self.constants:
            self.plain[name] = plain
        return plain

    def _integer(
        self, kind: str, ins: Sequence[str], arguments: Sequence[Any], a: Attributes
    ) -> Tensor:
        """A product of whole numbers, done with those that they stand for."""
        x, weight, _, zero = (*arguments, None, None)[:4]
        if ins[1] not in self.plain:
            plain = weight.float()
            if zero is not None:
                each = [-1] + [1] * (weight.ndim - 1)
                by_output = kind == "ConvInteger" and zero.ndim
                plain = plain - (zero.float().reshape(each) if by_output else zero.float())
            self.plain[ins[1]] = plain.to(self.device)
        x = x.to(self.device)
        return (
            convolve(a, x, self.plain[ins[1]]) if kind == "ConvInteger" else x @ self.plain[ins[1]]
        )

    def _lstm(self, ins: Sequence[str], arguments: Sequence[Any]) -> tuple[Tensor, Tensor, Tensor]:
        """Both directions; the quantised weights are [directions, inputs, 4 * size]."""
        x, w, r, b, _, h, c, _, w_scale, w_zero, r_scale, r_zero = arguments
        size = r.shape[1]
        if ins[1] not in self.plain:
            flat: list[Tensor] = []
            for d in range(w.shape[0]):
                for m, scale, zero in ((w, w_scale, w_zero), (r, r_scale, r_zero)):
                    plain = (m[d].float() - zero[d].float()) * scale[d].cpu().float()
                    flat.append(_gates(plain.T, size))
                flat += [_gates(part.cpu(), size) for part in b[d].split(4 * size)]
            self.plain[ins[1]] = [part.contiguous().to(self.device) for part in flat]
        none = torch.zeros(w.shape[0], x.shape[1], size)
        start = [(none if s is None else s).to(self.device).float() for s in (h, c)]
        both = w.shape[0] > 1
        y, last, cell = torch._VF.lstm(  # noqa: SLF001
            x, start, self.plain[ins[1]], True, 1, 0.0, False, both, False
        )
        return y.view(*y.shape[:2], w.shape[0], -1).transpose(1, 2), last, cell


def _gates(m: Tensor, size: int) -> Tensor:
    """From ONNX's order of gates (i, o, f, c) to PyTorch's (i, f, c, o)."""
    i, o, f, c = m.split(size)
    return torch.cat([i, f, c, o])
