"""This computer's microphones and loudspeakers, by way of miniaudio.

Its wheel holds all that it needs and finds the system's own sound service when it starts
(WASAPI, Core Audio, PulseAudio, ALSA …), so nothing has to be installed beside it.
"""

import ctypes
import time
from collections.abc import Callable, Generator, Iterator
from contextlib import contextmanager
from functools import cache

import miniaudio
import numpy as np

from dictate.errors import SoundError

CAPTURE_RATE = 48_000
"""Most devices' own rate; the stream is brought to 16 kHz by soxr."""
BLOCK_SECONDS = 0.1

_REAL = [backend for backend in miniaudio.Backend if backend is not miniaudio.Backend.NULL]
"""Without this list a computer without sound would hear silence instead of saying so."""

Take = Callable[[np.ndarray, float], None]
"""Called with each block (float32 mono at `CAPTURE_RATE`) and the clock's seconds at its arrival."""


class NotThereError(Exception):
    """There is no such device, or it cannot be opened now."""


def list_microphones(backends: list[miniaudio.Backend] | None = None) -> list[str]:
    """Name this computer's microphones, each with the number to choose it by.

    Raises:
        SoundError: the computer has no sound service.
    """
    try:
        captures = miniaudio.Devices(backends or _REAL).get_captures()
    except miniaudio.MiniaudioError as error:
        raise SoundError(
            "this computer offers no sound",
            remedy="Plug in a microphone, or start the sound service",
        ) from error
    return [f"{number}  {device['name']}" for number, device in enumerate(captures)]


@contextmanager
def open_microphone(
    device: str | None, take: Take, backends: list[miniaudio.Backend] | None = None
) -> Iterator[None]:
    """Give `take` what a microphone hears, from a thread of the sound service, until left.

    `device` is a number of `list_microphones` or part of a name; None is the computer's choice.

    Raises:
        NotThereError: there is no such microphone, or it cannot be opened.
    """
    _quieten_alsa()
    try:
        chosen = _find(device, backends or _REAL)
        capture = miniaudio.CaptureDevice(
            input_format=miniaudio.SampleFormat.FLOAT32,
            nchannels=1,
            sample_rate=CAPTURE_RATE,
            buffersize_msec=round(BLOCK_SECONDS * 1000),
            device_id=chosen,
            backends=backends or _REAL,
            app_name="dictate",
        )
    except miniaudio.MiniaudioError as error:
        raise NotThereError(error.args[0]) from error
    try:
        blocks = _blocks(take)
        next(blocks)
        try:
            capture.start(blocks)
        except miniaudio.MiniaudioError as error:
            raise NotThereError(error.args[0]) from error
        yield
    finally:
        capture.close()


_ErrorHandler = ctypes.CFUNCTYPE(
    None, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p
)


@cache
def _quieten_alsa() -> object:
    """Keep Linux's ALSA from writing its search for devices to stderr; return its new handler."""
    handler = _ErrorHandler(lambda *_: None)
    try:
        ctypes.CDLL("libasound.so.2").snd_lib_error_set_handler(handler)
    except (OSError, AttributeError):
        return None
    return handler


def _find(device: str | None, backends: list[miniaudio.Backend]) -> object:
    """The id of the device meant; devices are listed anew, so that a plugged-in one is found."""
    if device is None:
        return None
    captures = miniaudio.Devices(backends).get_captures()
    for number, capture in enumerate(captures):
        if device == str(number) or (not device.isdecimal() and device in capture["name"]):
            return capture["id"]
    raise NotThereError("no such device")


def _blocks(take: Take) -> Generator[None, bytes, None]:
    while True:
        heard = yield
        take(np.frombuffer(bytes(heard), np.float32), time.monotonic())


class Loudspeaker:
    """Plays short sounds one at a time, on the computer's choice of device."""

    def __init__(self, rate: int, backends: list[miniaudio.Backend] | None = None) -> None:
        """Open nothing yet.

        rate: samples a second of what will be played.
        """
        self._rate = rate
        self._backends = backends or _REAL
        self._device: miniaudio.PlaybackDevice | None = None

    def play(self, samples: np.ndarray) -> None:
        """Begin to play int16 mono samples in place of what plays now; return at once.

        Raises:
            SoundError: nothing can be played here.
        """
        try:
            if self._device is None:
                self._device = miniaudio.PlaybackDevice(
                    nchannels=1, sample_rate=self._rate, backends=self._backends
                )
            self._device.stop()
            sound = _pieces(samples.astype(np.int16).tobytes())
            next(sound)
            self._device.start(sound)
        except miniaudio.MiniaudioError as error:
            raise SoundError(
                f"nothing can be played ({error.args[0]})", remedy="Plug the headset in"
            ) from error

    def stop(self) -> None:
        """Be quiet at once."""
        if self._device is not None:
            self._device.stop()


def _pieces(sound: bytes) -> Generator[bytes, int, None]:
    """Give as many 16-bit frames as are asked for, then end."""
    frames = yield b""
    start = 0
    while start < len(sound):
        piece = sound[start : start + frames * 2]
        start += frames * 2
        frames = yield piece
