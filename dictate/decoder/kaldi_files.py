"""Write and amend `am/final.mdl`, Kaldi's file of a transition model and an nnet3 network.

Only what a Vosk model needs: the transition model of `dictate.decoder.phones` and a chain of affine
layers with frame offsets.  Kaldi's binary form is a zero byte, `B`, then tokens ended by a space,
integers and floats led by their size in bytes, vectors (`FV`) and matrices (`FM`, or `CM2` and `CM`
when compressed).  Matrices are accepted compressed wherever they are accepted plain.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from dictate.decoder import phones
from dictate.decoder.kaldi_binary import FloatArray, Storage, Writer
from dictate.errors import ModelError

_HEADER = b"\0B"


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One affine layer over spliced frames, then optionally ReLU, then optionally an addition."""

    offsets: tuple[int, ...]
    """Frames spliced, relative to the output frame, in 10 ms input frames."""
    weights: FloatArray
    """Shape (outputs, inputs * len(offsets)); columns grouped by offset, in order."""
    bias: FloatArray
    """Shape (outputs,)."""
    relu: bool = True
    skip_from: int | None = None
    """Index of an earlier layer of equal width whose output is added to this one's."""


def write_acoustic(
    path: Path,
    layers: Sequence[Layer],
    *,
    left_context: int,
    right_context: int,
    storage: Storage = "16 bit",
) -> None:
    """Write a transition model and network to `path`.

    The network's input is 40 MFCCs a 10 ms frame; its last layer (without ReLU) gives one value for
    each of `phones.PDF_COUNT` outputs, to which log-softmax is applied here.  Contexts are the
    frames that all layers together look back and ahead.

    Raises:
        ModelError: layers that do not fit each other or the phones.
    """
    _check_layers(layers, path)
    out = Writer()
    _write_transition_model(out)
    _write_network(out, layers, storage)
    for token, value in (("<LeftContext>", left_context), ("<RightContext>", right_context)):
        out.token(token)
        out.integer(value)
    out.token("<Priors>")
    out.vector(np.zeros(0))
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(_HEADER + out.bytes())


def _check_layers(layers: Sequence[Layer], path: Path) -> None:
    width = 40
    widths: list[int] = []
    for index, layer in enumerate(layers):
        outputs = len(layer.bias)
        if layer.weights.shape != (outputs, width * len(layer.offsets)):
            raise ModelError(
                f"layer {index} has weights of shape {layer.weights.shape}, "
                f"expected {(outputs, width * len(layer.offsets))}",
                where=str(path),
                remedy="Export the network again",
            )
        if layer.skip_from is not None and widths[layer.skip_from] != outputs:
            raise ModelError(
                f"layer {index} adds layer {layer.skip_from} of another width",
                where=str(path),
                remedy="Export the network again",
            )
        widths.append(outputs)
        width = outputs
    if width != phones.PDF_COUNT or layers[-1].relu:
        raise ModelError(
            f"the last layer gives {width} outputs, expected {phones.PDF_COUNT} without ReLU",
            where=str(path),
            remedy="Export the network again",
        )


def _write_transition_model(out: "Writer") -> None:
    out.token("<TransitionModel>")
    out.token("<Topology>")
    groups = topologies = phones.topologies()
    group_of = {phone: index for index, group in enumerate(groups) for phone in group}
    ordered = sorted(group_of)
    out.integers(ordered)
    out.integers([group_of.get(phone, -1) for phone in range(ordered[-1] + 1)])
    out.integer(len(topologies))
    for group in topologies:
        _write_topology(out, group[0])
    out.token("</Topology>")
    states = [
        (phone, index, state)
        for phone in phones.all_phone_ids()
        for index, state in enumerate(phones.states_of(phone))
    ]
    out.token("<Triples>")
    out.integer(len(states))
    for phone, index, state in states:
        for value in (phone, index, state.pdf):
            out.integer(value)
    out.token("</Triples>")
    # Index 0 is unused; decoding takes its weights from the graph, so these only have to be valid.
    chances = [1.0] + [1 / len(s.following) for _, _, s in states for _ in s.following]
    out.token("<LogProbs>")
    out.vector(np.log(chances))
    out.token("</LogProbs>")
    out.token("</TransitionModel>")


def _write_topology(out: "Writer", phone: int) -> None:
    states = phones.states_of(phone)
    out.integer(len(states) + 1)
    for index, state in enumerate(states):
        out.integer(index)  # the state's pdf class
        out.integer(len(state.following))
        for following in state.following:
            out.integer(following)
            out.real(1 / len(state.following))
    out.integer(-1)  # the final state emits nothing
    out.integer(0)


def _write_network(out: "Writer", layers: Sequence[Layer], storage: Storage) -> None:
    out.token("<Nnet3>")
    out.text("\n" + "\n".join(_network_lines(layers)) + "\n\n")
    out.token("<NumComponents>")
    out.integer(sum(2 if layer.relu else 1 for layer in layers) + 1)
    for index, layer in enumerate(layers):
        out.token("<ComponentName>")
        out.token(f"layer{index}.affine")
        out.token("<FixedAffineComponent>")
        out.token("<LinearParams>")
        out.matrix(layer.weights, storage)
        out.token("<BiasParams>")
        out.vector(layer.bias)
        out.token("</FixedAffineComponent>")
        if layer.relu:
            _write_nonlinearity(out, f"layer{index}.relu", "RectifiedLinear", len(layer.bias))
    _write_nonlinearity(out, "output.log-softmax", "LogSoftmax", phones.PDF_COUNT)
    out.token("</Nnet3>")


def _network_lines(layers: Sequence[Layer]) -> list[str]:
    """Kaldi's description of which component feeds which."""
    lines = ["input-node name=input dim=40"]
    names: list[str] = []
    source = "input"
    for index, layer in enumerate(layers):
        spliced = ", ".join(
            source if offset == 0 else f"Offset({source}, {offset})" for offset in layer.offsets
        )
        if len(layer.offsets) > 1:
            spliced = f"Append({spliced})"
        node = f"layer{index}.affine"
        lines.append(f"component-node name={node} component={node} input={spliced}")
        if layer.relu:
            lines.append(
                f"component-node name=layer{index}.relu component=layer{index}.relu input={node}"
            )
            node = f"layer{index}.relu"
        source = node if layer.skip_from is None else f"Sum({node}, {names[layer.skip_from]})"
        names.append(source)
    node = "output.log-softmax"
    lines.append(f"component-node name={node} component={node} input={source}")
    lines.append(f"output-node name=output input={node} objective=linear")
    return lines


def _write_nonlinearity(out: "Writer", name: str, kind: str, width: int) -> None:
    out.token("<ComponentName>")
    out.token(name)
    out.token(f"<{kind}Component>")
    out.token("<Dim>")
    out.integer(width)
    for statistic in ("<ValueAvg>", "<DerivAvg>"):
        out.token(statistic)
        out.vector(np.zeros(0))
    out.token("<Count>")
    out.real(0)
    out.token("<OderivRms>")
    out.vector(np.zeros(0))
    out.token("<OderivCount>")
    out.real(0)
    out.token(f"</{kind}Component>")
