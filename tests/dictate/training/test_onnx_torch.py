"""A voice's graph on PyTorch says what onnxruntime says (the reference implementation of ONNX)."""

import numpy as np
import pytest

onnx = pytest.importorskip("onnx")
onnxruntime = pytest.importorskip("onnxruntime")
torch = pytest.importorskip("torch")

from onnx import TensorProto, helper, numpy_helper  # noqa: E402

from dictate.training.onnx_operators import OPERATORS  # noqa: E402
from dictate.training.onnx_torch import OnnxOnTorch  # noqa: E402

RNG = np.random.default_rng(3)


def _saved(tmp_path, nodes, constants, inputs):
    """The file of a graph whose last node's first output is asked for."""
    graph = helper.make_graph(
        nodes,
        "test",
        [
            helper.make_tensor_value_info(n, helper.np_dtype_to_tensor_dtype(a.dtype), a.shape)
            for n, a in inputs.items()
        ],
        [helper.make_tensor_value_info(nodes[-1].output[0], TensorProto.FLOAT, None)],
        [numpy_helper.from_array(a, n) for n, a in constants.items()],
    )
    opsets = [helper.make_opsetid("", 20), helper.make_opsetid("com.microsoft", 1)]
    model = helper.make_model(graph, opset_imports=opsets, ir_version=9)
    path = tmp_path / "graph.onnx"
    onnx.save(model, str(path))
    return path


def _both(tmp_path, nodes, constants, inputs):
    """What the two make of that graph."""
    path = _saved(tmp_path, nodes, constants, inputs)
    theirs = onnxruntime.InferenceSession(str(path), providers=["CPUExecutionProvider"])
    ours = OnnxOnTorch(path, torch.device("cpu"))
    return theirs.run(None, inputs)[0], ours.run(None, inputs)[0]


def _quantised(*shape):
    return RNG.integers(0, 255, shape).astype(np.uint8), np.uint8(128), np.float32(0.02)


def test_a_quantised_convolution_and_its_neighbours(tmp_path):
    """Quantise, convolve in whole numbers, scale back, upsample, normalise: as in Kokoro's decoder."""
    weight, zero, scale = _quantised(6, 4, 3)
    nodes = [
        helper.make_node("DynamicQuantizeLinear", ["x"], ["q", "qs", "qz"]),
        helper.make_node("ConvInteger", ["q", "w", "qz", "wz"], ["c"], pads=[2, 2], dilations=[2]),
        helper.make_node("Cast", ["c"], ["f"], to=TensorProto.FLOAT),
        helper.make_node("Mul", ["qs", "ws"], ["s"]),
        helper.make_node("Mul", ["f", "s"], ["y"]),
        helper.make_node(
            "Resize", ["y", "", "up"], ["z"], mode="linear",
            coordinate_transformation_mode="half_pixel",
        ),
        helper.make_node("ReduceMean", ["z", "axes"], ["m"], keepdims=1),
        helper.make_node("Sub", ["z", "m"], ["d"]),
        helper.make_node("LeakyRelu", ["d"], ["out"], alpha=0.2),
    ]  # fmt: skip
    constants = {"w": weight, "wz": zero, "ws": scale, "up": np.array([1, 1, 2.5], np.float32),
                 "axes": np.array([2])}  # fmt: skip
    sound = RNG.standard_normal((1, 4, 40)).astype(np.float32)
    theirs, ours = _both(tmp_path, nodes, constants, {"x": sound})
    # Activations are quantised there and not here: steps of a 255th of their range.
    assert ours.shape == theirs.shape
    assert np.corrcoef(ours.ravel(), theirs.ravel())[0, 1] > 0.999


def test_a_quantised_lstm_in_both_directions(tmp_path):
    size, width = 5, 7
    w, zero, scale = _quantised(2, width, 4 * size)
    r, _, _ = _quantised(2, size, 4 * size)
    constants = {
        "w": w, "r": r, "b": RNG.standard_normal((2, 8 * size)).astype(np.float32),
        "s": np.full(2, scale, np.float32), "z": np.full(2, zero, np.uint8),
    }  # fmt: skip
    node = helper.make_node(
        "DynamicQuantizeLSTM", ["x", "w", "r", "b", "", "", "", "", "s", "z", "s", "z"], ["y"],
        domain="com.microsoft", direction="bidirectional", hidden_size=size,
    )  # fmt: skip
    x = RNG.standard_normal((9, 1, width)).astype(np.float32)
    theirs, ours = _both(tmp_path, [node], constants, {"x": x})
    assert ours.shape == theirs.shape == (9, 2, 1, size)
    assert np.corrcoef(ours.ravel(), theirs.ravel())[0, 1] > 0.999


def test_shapes_and_choices_stay_whole_numbers(tmp_path):
    """Lengths are computed, rows chosen and repeated by them, as Kokoro lays phones out in time."""
    nodes = [
        helper.make_node("Shape", ["x"], ["shape"]),
        helper.make_node("Gather", ["shape", "one"], ["n"]),
        helper.make_node("Unsqueeze", ["n", "zero"], ["n1"]),
        helper.make_node("Range", ["none", "n", "step"], ["range"]),
        helper.make_node("Gather", ["x", "range"], ["picked"], axis=1),
        helper.make_node("Slice", ["picked", "first", "last", "axis", "back"], ["turned"]),
        helper.make_node("Concat", ["minus", "n1"], ["wanted"], axis=0),
        helper.make_node("Reshape", ["turned", "wanted"], ["flat"]),
        helper.make_node("CumSum", ["flat", "one"], ["out"]),
    ]
    constants = {
        "one": np.array(1), "zero": np.array([0]), "none": np.array(0), "step": np.array(2),
        "first": np.array([-1]), "last": np.array([-(2**31)]), "axis": np.array([1]),
        "back": np.array([-1]), "minus": np.array([-1]),
    }  # fmt: skip
    x = RNG.standard_normal((4, 6, 2)).astype(np.float32)
    theirs, ours = _both(tmp_path, nodes, constants, {"x": x})
    assert np.allclose(ours, theirs, atol=1e-5)


def test_rows_of_a_quantised_table_come_to_the_device(tmp_path, monkeypatch):
    """Whole numbers lie on the processor, what they stand for where everything else lies.

    PyTorch's `meta` device takes the place of a graphics card: it knows shapes and no values.
    """
    table, zero, scale = _quantised(9, 4)
    nodes = [
        helper.make_node("Gather", ["table", "ids"], ["rows"]),
        helper.make_node("DequantizeLinear", ["rows", "scale", "zero"], ["plain"]),
        helper.make_node("Add", ["plain", "bias"], ["out"]),
    ]
    constants = {"table": table, "scale": scale, "zero": zero, "bias": np.ones(4, np.float32)}
    inputs = {"ids": np.array([3, 1])}
    theirs, ours = _both(tmp_path, nodes, constants, inputs)
    assert np.allclose(ours, theirs)
    devices = []

    def look(_, plain, bias):
        devices.extend([plain.device.type, bias.device.type])
        return torch.zeros(1)

    monkeypatch.setattr("dictate.training.onnx_torch.OPERATORS", {**OPERATORS, "Add": look})
    OnnxOnTorch(_saved(tmp_path, nodes, constants, inputs), torch.device("meta")).run(None, inputs)
    assert devices == ["meta", "meta"]
