"""What the recogniser made of one clip, before it is stored."""

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Listened:
    """What the recogniser made of one clip; plain values, so that it can travel between machines."""

    words: list[dict[str, Any]]
    alternatives: list[list[dict[str, Any]]]
    fits: list[dict[str, Any]]
    again: dict[str, Any] | None = None
    engine: str
    model: str
    has_speech: bool
    seconds_taken: float
