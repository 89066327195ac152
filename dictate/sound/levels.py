"""How good is the sound? Level, clipping, noise floor, speech-to-noise ratio, and what to do."""

from dataclasses import dataclass

import numpy as np

from dictate.sound.clip import Sound
from dictate.sound.voice_activity import FRAME, SPEECH_MIN, VoiceActivity

_FULL_SCALE = 32768.0
_CLIPPED = 32700
"""int16; a sample at or past this has met the ceiling."""
_CLIPPED_RUN = 3
"""Clipping flattens peaks over several samples; a single one may be chance."""
_SPEECH_SECONDS_MIN = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """Measures of a piece of sound; dB below full scale (a full-scale square wave is 0 dB)."""

    seconds: float
    peak_db: float
    clipped_share: float
    """Share of samples in runs at the ceiling, 0 to 1."""
    noise_db: float
    """Level while nobody speaks (the whole, when somebody always does)."""
    speech_seconds: float
    speech_db: float | None
    """Level of the voice, noise taken off; None when there is too little speech."""
    snr_db: float | None
    """Speech-to-noise ratio: `speech_db` less `noise_db`."""

    @property
    def lines(self) -> list[str]:
        """The measures in words, one a line."""
        voice = "too little speech" if self.speech_db is None else f"{self.speech_db:.1f} dB"
        ratio = "unknown" if self.snr_db is None else f"{self.snr_db:.1f} dB"
        return [
            f"length                 {self.seconds:.1f} s, {self.speech_seconds:.1f} s of speech",
            f"loudest point          {self.peak_db:.1f} dB (0 is the ceiling)",
            f"clipped                {self.clipped_share:.2%} of it",
            f"voice                  {voice}",
            f"noise                  {self.noise_db:.1f} dB",
            f"voice above the noise  {ratio}",
        ]


def peak_db(samples: np.ndarray) -> float:
    """Loudest point of int16 samples in dB below full scale; -100 for none or silence."""
    peak = float(np.abs(samples.astype(np.float64)).max(initial=0.0))
    return max(-100.0, 20 * float(np.log10(max(peak, 1e-6) / _FULL_SCALE)))


def measure_levels(sound: Sound) -> Levels:
    """Measure a clip of some seconds in which somebody speaks and pauses."""
    given = sound.samples
    given = np.pad(given, (0, max(0, FRAME - len(given))))  # at least one frame
    samples = given.astype(np.float64)
    whole = samples[: len(samples) // FRAME * FRAME].reshape(-1, FRAME)
    powers = (whole**2).mean(axis=1)
    speaks = VoiceActivity().feed(given)[: len(powers)] >= SPEECH_MIN
    quiet = powers[~_widened(speaks)]
    quiet = quiet if len(quiet) else np.sort(powers)[: max(1, len(powers) // 10)]
    noise = float(quiet.mean())
    speech_seconds = float(speaks.sum()) * FRAME / 16_000
    speech_db = snr_db = None
    if speech_seconds >= _SPEECH_SECONDS_MIN:
        speech_db = _db(max(float(powers[speaks].mean()) - noise, 1e-3))
        snr_db = round(speech_db - _db(noise), 1)
    return Levels(
        seconds=round(sound.seconds, 2),
        peak_db=_db(float(np.abs(samples).max(initial=0)) ** 2),
        clipped_share=_clipped_share(given),
        noise_db=_db(noise),
        speech_seconds=round(speech_seconds, 2),
        speech_db=speech_db,
        snr_db=snr_db,
    )


def advise(levels: Levels, *, silent: bool = False) -> list[str]:
    """Say in plain words what to change, most important first; empty when all is well.

    The limits are the program's own, from how its recogniser does in noise (see the how-to on
    microphones), not a standard.
    """
    if silent:
        return [
            "Nothing at all is recorded: switch the microphone on, and check its plug and mute."
        ]
    advice = []
    if levels.clipped_share > 1e-4:
        advice.append(
            "The sound is clipped: turn the recording level down, or move the microphone."
        )
    if levels.snr_db is None:
        advice.append(
            "Too little speech to judge: say a whole note, with a pause before and after."
        )
        return advice
    if levels.snr_db < 6:
        advice.append(
            "The machines are nearly as loud as the voice: wear a headset with the microphone at"
            " the corner of the mouth, or stop the grinder while speaking."
        )
    elif levels.snr_db < 12:
        advice.append("Noise will cost words: bring the microphone closer to the mouth.")
    if levels.speech_db is not None and levels.speech_db < -45:
        advice.append("The voice is faint: turn the recording level up, or speak closer.")
    return advice


def _db(power: float) -> float:
    return round(float(10 * np.log10(max(power, 1e-3) / _FULL_SCALE**2)), 1)


def _widened(speaks: np.ndarray) -> np.ndarray:
    """Speech with 0.2 s around it, so that the noise is measured clear of word edges."""
    return np.convolve(speaks, np.ones(13))[6 : 6 + len(speaks)] > 0.5


def _clipped_share(samples: np.ndarray) -> float:
    at_ceiling = np.abs(samples.astype(np.int32)) >= _CLIPPED
    edges = np.flatnonzero(np.diff(np.concatenate([[0], at_ceiling.astype(np.int8), [0]])))
    runs = edges[1::2] - edges[::2]
    return float(runs[runs >= _CLIPPED_RUN].sum() / max(len(samples), 1))
