"""Sound in: read, know when it was recorded, find speech in it."""

from dictate.sound.clip import LONGEST_SECONDS, Sound, read_sound
from dictate.sound.recorded_at import RecordedAt, recorded_at
from dictate.sound.stream import RATE, SoundFacts, blocks, describe
from dictate.sound.voice_activity import has_speech

__all__ = [
    "LONGEST_SECONDS",
    "RATE",
    "RecordedAt",
    "Sound",
    "SoundFacts",
    "blocks",
    "describe",
    "has_speech",
    "read_sound",
    "recorded_at",
]
