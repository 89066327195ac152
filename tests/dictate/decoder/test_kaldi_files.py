"""Kaldi's binary forms, read back by the formulas of Kaldi's own compressed-matrix.cc."""

import struct

import numpy as np
import pytest

from dictate.decoder import phones
from dictate.decoder.kaldi_files import Layer, write_acoustic
from dictate.errors import ModelError


def layers(rng, *, outputs=phones.PDF_COUNT):
    first = rng.normal(size=(16, 120)).astype("f4")
    first[3, 5] = 9.0  # an outlier must not cost the others their precision
    return [
        Layer(offsets=(-1, 0, 1), weights=first, bias=np.zeros(16, "f4")),
        Layer(
            offsets=(0,), weights=rng.normal(size=(outputs, 16)).astype("f4"),
            bias=np.zeros(outputs, "f4"), relu=False,
        ),
    ]  # fmt: skip


def matrix_after(content, marker):
    """Read the first matrix after a token, as Kaldi's Matrix::Read and CompressedMatrix do."""
    at = content.index(marker) + len(marker)
    kind, at = content[at : content.index(b" ", at)].decode(), content.index(b" ", at) + 1
    if kind == "FM":
        rows, columns = (
            struct.unpack("<i", content[at + 1 : at + 5])[0],
            struct.unpack("<i", content[at + 6 : at + 10])[0],
        )
        return np.frombuffer(content, "<f4", rows * columns, at + 10).reshape(rows, columns)
    least, reach, rows, columns = struct.unpack("<ffii", content[at : at + 16])
    at += 16
    if kind == "CM2":
        steps = np.frombuffer(content, "<u2", rows * columns, at).reshape(rows, columns)
        return least + reach * steps / 65535
    marks = np.frombuffer(content, "<u2", 4 * columns, at).reshape(columns, 4)
    points = least + reach * marks / 65535
    steps = np.frombuffer(content, "u1", rows * columns, at + 8 * columns).reshape(columns, rows)
    return np.array(
        [np.interp(column, (0, 64, 192, 255), at) for column, at in zip(steps, points, strict=True)]
    ).T


@pytest.mark.parametrize(
    ("storage", "error_max"), [("float32", 0.0), ("16 bit", 2e-4), ("8 bit", 0.12)]
)
def test_weights_come_back(tmp_path, storage, error_max):
    """Each way of storing weights keeps them to its precision."""
    made = layers(np.random.default_rng(1))
    write_acoustic(tmp_path / "final.mdl", made, left_context=1, right_context=1, storage=storage)
    content = (tmp_path / "final.mdl").read_bytes()

    read = matrix_after(content, b"<LinearParams> ")

    assert content.startswith(b"\0B<TransitionModel> ")
    assert read.shape == made[0].weights.shape
    assert np.abs(read - made[0].weights).max() <= error_max


def test_layers_that_do_not_fit_are_refused(tmp_path):
    """A network with another number of outputs than phones is an error before it is a file."""
    made = layers(np.random.default_rng(1), outputs=7)

    with pytest.raises(ModelError, match="7 outputs, expected 40"):
        write_acoustic(tmp_path / "final.mdl", made, left_context=1, right_context=1)
    assert not (tmp_path / "final.mdl").exists()
