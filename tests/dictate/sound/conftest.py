"""Sound files of every kind, made by FFmpeg's libraries."""

from collections.abc import Callable
from pathlib import Path

import av
import numpy as np
import pytest

CODECS = {
    "wav": ("pcm_s16le", {}),
    "flac": ("flac", {}),
    "mp3": ("libmp3lame", {}),
    "m4a": ("aac", {}),
    "opus": ("libopus", {}),
    "ogg": ("libopus", {}),
    "amr": ("libopencore_amrnb", {"rates": 8000}),
    "webm": ("libopus", {}),
}

Write = Callable[..., Path]


def tone(seconds: float, rate: int, *, hz: float = 440.0, level: float = 0.3) -> np.ndarray:
    """A sine as float samples."""
    return level * np.sin(2 * np.pi * hz * np.arange(round(seconds * rate)) / rate)


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Write float samples, shape (n,) or (channels, n), in the format of the name's suffix."""

    def write_sound(
        name: str,
        samples: np.ndarray,
        rate: int = 16_000,
        *,
        codec: str | None = None,
        tags: dict[str, str] | None = None,
    ) -> Path:
        path = tmp_path / name
        channels = np.atleast_2d(samples)
        codec = codec or CODECS[path.suffix[1:]][0]
        layout = "mono" if len(channels) == 1 else "stereo"
        options = {"movflags": "use_metadata_tags"} if path.suffix == ".m4a" else {}
        with av.open(str(path), "w", options=options) as out:
            out.metadata.update(tags or {})
            stream = out.add_stream(codec, rate=rate, layout=layout)
            pcm = np.clip(np.rint(channels * 32767), -32768, 32767).astype(np.int16)
            for start in range(0, pcm.shape[1], rate):
                piece = np.ascontiguousarray(pcm[:, start : start + rate].T.reshape(1, -1))
                frame = av.AudioFrame.from_ndarray(piece, format="s16", layout=layout)
                frame.rate, frame.pts = rate, start
                out.mux(stream.encode(frame))
            out.mux(stream.encode(None))
        return path

    return write_sound
