"""Decode any recorder's or phone's file to 16 kHz mono, block by block, in flat memory.

FFmpeg's libraries (through PyAV) read WAV, FLAC, MP3, M4A/AAC, Opus and Vorbis in Ogg, AMR, WebM
and more; soxr resamples. Sample `n` of the output lies `n / 16000` seconds into the file.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from dictate.errors import SoundError
from dictate.sound.files import check_readable, file_end

if TYPE_CHECKING:  # what only decides on words need not wait for the decoders
    import av

RATE = 16_000
"""Samples a second of everything that leaves this module."""
_LOCKED_TAGS = frozenset({"drms", "enca", "aavd", "p608"})
"""Sample-entry codes of encrypted MP4 audio."""
_FORMATS = "aac,aiff,amr,amrnb,amrwb,asf,au,caf,dss,flac,matroska,mov,mp3,mp4,ogg,w64,wav,webm"
"""FFmpeg's names of files that recorders and phones make; none of them leads to another file or address."""
_CHANNELS_MAX = 16
"""More is no recorder's; every channel takes memory before they are mixed."""
_MIX_PROBE_SECONDS = 10.0
"""How much sound decides whether channels may be averaged."""
_CANCEL_RATIO = 0.25
"""Averaging that leaves less than this share of the loudest channel's amplitude has cancelled it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundFacts:
    """What a sound file says about itself; nothing is decoded for it."""

    seconds: float | None
    """As declared; None when the file does not say."""
    source_rate: int
    channels: int
    codec: str
    container: str
    tags: Mapping[str, str] = field(default_factory=dict)
    """Tags of the container and of the sound in it, lower-case keys."""


def describe(path: Path) -> SoundFacts:
    """Read the header of a sound file.

    Raises:
        SoundError: the file is missing, empty, unreadable, locked or holds no sound.
    """
    with _open(path) as (container, stream):
        tags = {k.lower(): str(v) for k, v in (container.metadata | stream.metadata).items()}
        return SoundFacts(
            seconds=_declared_seconds(container, stream),
            source_rate=stream.rate or 0,
            channels=stream.codec_context.channels,
            codec=stream.codec_context.name,
            container=container.format.name,
            tags=tags,
        )


def blocks(path: Path, *, cut_ok: bool = False) -> Iterator[np.ndarray]:
    """Yield the file as int16 mono blocks of at most about a second at 16 kHz.

    Args:
        path: The file.
        cut_ok: Take what there is of a file that ends early, instead of raising.

    Raises:
        SoundError: as `describe`; also, after the last good block, when the file ends early.
    """
    with _open(path) as (container, stream):
        heard = 0
        faults: list[Exception] = []
        for block in _resampled(_decoded(container, stream, faults)):
            heard += len(block)
            yield block
        if not cut_ok and (faults or _ended_early(path, container, stream, heard)):
            raise _cut_short(path, heard) from (faults[0] if faults else None)
        if not heard:
            raise SoundError("no sound in it", where=str(path), remedy="Record it again")


def _decoded(
    container: "av.container.InputContainer", stream: "av.AudioStream", faults: list[Exception]
) -> Iterator[tuple[np.ndarray, int]]:
    """Float blocks (channels, samples) with their rate; a fault ends them and is noted.

    What was decoded before the fault must still come out of the resampler, so it is not raised.
    """
    import av  # noqa: PLC0415 (slow to load)

    # Interleaved: PyAV counts the planes of separate channels wrongly past seven, and reads on.
    to_float = av.AudioResampler(format="flt")
    try:
        for frame in container.decode(stream):
            frame.pts = None
            for piece in to_float.resample(frame):
                yield piece.to_ndarray().reshape(-1, piece.layout.nb_channels).T, piece.sample_rate
    except (av.error.FFmpegError, ValueError) as error:
        faults.append(error)


def _resampled(decoded: Iterator[tuple[np.ndarray, int]]) -> Iterator[np.ndarray]:
    first: list[tuple[np.ndarray, int]] = []
    seconds = 0.0
    for block, rate in decoded:
        first.append((block, rate))
        seconds += block.shape[1] / rate
        if seconds >= _MIX_PROBE_SECONDS:
            break
    if not first:
        return
    rate = first[0][1]
    channel = _channel_to_keep(np.concatenate([block for block, _ in first], axis=1))
    import soxr  # noqa: PLC0415 (slow to load)

    resampler = soxr.ResampleStream(rate, RATE, 1, dtype="float32", quality="HQ")
    held: list[np.ndarray] = []
    for block, _ in chain(first, decoded):
        held.append(block.mean(axis=0) if channel is None else block[channel])
        if sum(map(len, held)) >= rate // 2:
            yield _as_int16(resampler.resample_chunk(np.concatenate(held)))
            held.clear()
    tail = np.concatenate([*held, np.zeros(0, np.float32)]).astype(np.float32)
    yield _as_int16(resampler.resample_chunk(tail, last=True))


def _channel_to_keep(channels: np.ndarray) -> int | None:
    """None to average; else the channel that averaging would cancel.

    A balanced microphone in a stereo socket gives the same sound twice with opposite signs.
    """
    loudness = np.sqrt((channels**2).mean(axis=1))
    mixed = float(np.sqrt((channels.mean(axis=0) ** 2).mean()))
    loudest = int(loudness.argmax())
    return loudest if mixed < _CANCEL_RATIO * float(loudness[loudest]) else None


def _as_int16(samples: np.ndarray) -> np.ndarray:
    return np.clip(np.rint(samples * 32768.0), -32768, 32767).astype(np.int16)


def _declared_seconds(
    container: "av.container.InputContainer", stream: "av.AudioStream"
) -> float | None:
    if stream.duration and stream.time_base:
        return float(stream.duration * stream.time_base)
    return container.duration / 1e6 if container.duration else None


def _ended_early(
    path: Path, container: "av.container.InputContainer", stream: "av.AudioStream", heard: int
) -> bool:
    seconds = heard / RATE
    end = file_end(path)
    if end.missing:
        return True
    declared = _declared_seconds(container, stream)
    return bool(end.length_declared and declared and seconds < declared - max(0.3, declared / 100))


def _cut_short(path: Path, heard: int) -> SoundError:
    return SoundError(
        f"ends early or is damaged after {heard / RATE:.1f} s",
        where=str(path),
        remedy="Copy it again from the recorder; if that copy is cut too, take in what there is of it",
    )


@contextmanager
def _open(path: Path) -> Iterator[tuple["av.container.InputContainer", "av.AudioStream"]]:
    import av  # noqa: PLC0415 (slow to load)

    check_readable(path)
    try:
        container = av.open(
            str(path), options={"format_whitelist": _FORMATS, "protocol_whitelist": "file"}
        )
    except (av.error.FFmpegError, ValueError) as error:
        raise _not_sound(path) from error
    with container:
        stream = next(iter(container.streams.audio), None)
        if stream is None or stream.codec_context is None:  # none, or by an unknown coder
            raise _not_sound(path)
        if stream.codec_context.codec_tag in _LOCKED_TAGS:
            raise SoundError(
                "is locked by its shop or service",
                where=str(path),
                remedy="Use a recording of your own",
            )
        if stream.codec_context.channels > _CHANNELS_MAX:
            raise SoundError(
                f"has {stream.codec_context.channels} channels; {_CHANNELS_MAX} are the most",
                where=str(path),
                remedy="Record it again, or save it with one channel",
            )
        yield container, stream


def _not_sound(path: Path) -> SoundError:
    if file_end(path).missing:
        return SoundError(
            "was never finished: its index or its end is missing",
            where=str(path),
            remedy="Stop the recording on the recorder or phone, then copy the file again",
        )
    return SoundError(
        "is not a sound file that can be decoded",
        where=str(path),
        remedy="Give a WAV, FLAC, MP3, M4A, Opus, Ogg or AMR recording",
    )
