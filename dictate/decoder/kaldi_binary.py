"""Kaldi's basic types in binary form: tokens, numbers, vectors and matrices, these also compressed."""

import io
import struct
from collections.abc import Sequence
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Storage = Literal["float32", "16 bit", "8 bit"]
"""How weight matrices are stored; biases always keep float32."""
FloatArray = NDArray[np.float32]


class Writer:
    """Kaldi's basic types in binary form."""

    def __init__(self) -> None:
        self._out = io.BytesIO()

    def bytes(self) -> bytes:
        return self._out.getvalue()

    def text(self, text: str) -> None:
        self._out.write(text.encode("ascii"))

    def token(self, token: str) -> None:
        self.text(token + " ")

    def integer(self, value: int) -> None:
        self._out.write(struct.pack("<bi", 4, value))

    def real(self, value: float) -> None:
        self._out.write(struct.pack("<bf", 4, value))

    def integers(self, values: Sequence[int]) -> None:
        self.integer(len(values))
        self._out.write(np.asarray(values, "<i4").tobytes())

    def vector(self, values: Sequence[float] | NDArray[np.floating]) -> None:
        array = np.asarray(values, "<f4")
        self.token("FV")
        self.integer(len(array))
        self._out.write(array.tobytes())

    def matrix(self, values: FloatArray, storage: Storage) -> None:
        if storage == "float32":
            self.token("FM")
            self.integer(values.shape[0])
            self.integer(values.shape[1])
            self._out.write(np.ascontiguousarray(values, "<f4").tobytes())
        elif storage == "16 bit":
            self.token("CM2")
            self._out.write(_two_bytes(values))
        else:
            self.token("CM")
            self._out.write(_one_byte(values))


def _two_bytes(values: FloatArray) -> bytes:
    """`CM2`: least value and range of the whole matrix, then 16 bits a value, row by row."""
    least, reach = _range(values)
    steps = np.rint((values - least) / reach * 65535).astype("<u2")
    return struct.pack("<ffii", least, reach, *values.shape) + steps.tobytes()


def _range(values: FloatArray) -> tuple[float, float]:
    least = float(values.min())
    return least, (float(values.max()) - least) or 1.0


def _one_byte(values: FloatArray) -> bytes:
    """`CM`: a header as in `CM2`; four 16-bit quantiles a column; 8 bits a value, column by column.

    A value is a position between its column's quantiles 0, 25, 75 and 100 %, which stand at steps
    0, 64, 192 and 255, so outliers do not cost the bulk its precision.
    """
    least, reach = _range(values)
    quantiles = np.quantile(values, (0, 0.25, 0.75, 1), axis=0, method="nearest")
    marks = np.rint((quantiles - least) / reach * 65535).astype(np.int64)
    marks = np.maximum.accumulate(marks + np.arange(4)[:, None], axis=0)  # Kaldi: strictly rising
    marks = np.minimum(marks, 65532 + np.arange(4)[:, None])
    points = least + reach * marks / 65535
    stops = np.array([0, 64, 192, 255])
    steps = [
        np.rint(np.interp(column, points[:, index], stops)) for index, column in enumerate(values.T)
    ]
    return (
        struct.pack("<ffii", least, reach, *values.shape)
        + marks.T.astype("<u2").tobytes()
        + np.asarray(steps).astype("u1").tobytes()
    )
