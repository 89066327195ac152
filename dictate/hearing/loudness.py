"""How loud machines are beside the voice, from the levels of a sound's frames alone."""

import numpy as np

_FRAME = 480
"""Samples, 30 ms."""
_SPREAD_NOISY, _SPREAD_QUIET = 6.0, 12.0
"""dB from the quiet tenth of a sound's frames to the loud tenth, with machines as loud as the voice
and with machines 10 dB below it; without machines it is 20 and more."""


def loudness_of_machines(samples: np.ndarray) -> float:
    """How loud machines are beside the voice: 0 where they are well below it, 1 where they equal it."""
    whole = samples[: len(samples) // _FRAME * _FRAME].reshape(-1, _FRAME).astype(np.float64)
    if not len(whole):
        return 0.0
    low, high = np.percentile(10 * np.log10((whole**2).mean(axis=1) + 1.0), [10, 90])
    return float(np.interp(high - low, [_SPREAD_NOISY, _SPREAD_QUIET], [1, 0]))
