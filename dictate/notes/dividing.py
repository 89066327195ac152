"""Cutting a note in two where "end of note" or "next cow" was said without a pause.

Pauses part the notes of a recording before anything is heard. Where the speaker went straight on,
the words tell the place: the cut lies half-way between the last word of one note and the first of
the next.
"""

import datetime as dt
import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import Any

from dictate.settings import Settings
from dictate.sound import RATE, describe, read_sound
from dictate.sound.cut_notes import write_note
from dictate.store.clips import kept_path
from dictate.store.tables import Clip
from grammar import Word, parse

_Words = list[dict[str, Any]]


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One note of a clip that holds several."""

    start: float
    """Seconds from the start of the clip."""
    listened: Listened
    """Its words, with times from its own start."""


def divide(listened: Listened) -> list[Part]:
    """Divide what was heard at spoken ends; one part where there are none."""
    starts = [0.0, *_cuts(listened.words)]
    ends = [*starts[1:], float("inf")]
    return [
        Part(
            start=start,
            listened=replace(
                listened,
                words=_between(listened.words, start, end),
                alternatives=[
                    inside
                    for words in listened.alternatives
                    if (inside := _between(words, start, end))
                ],
                fits=_fits_between(listened.fits, start, end),
                again=listened.again
                and listened.again | {"words": _between(listened.again["words"], start, end)},
                seconds_taken=listened.seconds_taken if start == 0.0 else 0.0,
            ),
        )
        for start, end in zip(starts, ends, strict=True)
    ]


def cut_off(settings: Settings, clip: Clip, parts: Sequence[Part]) -> list[Clip]:
    """Write the parts after the first as kept clips of their own; rows that are not stored yet.

    The first part keeps the clip itself, so that taking the recording in again finds it known.

    Raises:
        SoundError: the kept clip cannot be read.
        OSError: the sounds folder cannot be written.
    """
    source = kept_path(settings, clip)
    samples = read_sound(source).samples
    tags = describe(source).tags
    starts = [round(part.start * RATE) for part in parts] + [len(samples)]
    return [
        _cut_one(settings, clip, samples[start:end], start, tags)
        for start, end in pairwise(starts[1:])
    ]


def _cut_one(
    settings: Settings, clip: Clip, samples: Any, start: int, tags: Mapping[str, str]
) -> Clip:
    place = int(tags.get("cut_start_sample", 0)) + start
    at = clip.recorded_at and clip.recorded_at + dt.timedelta(seconds=start / RATE)
    own = dict(tags) | {"cut_start_sample": str(place), "cut_end_sample": str(place + len(samples))}
    own.pop("encoder", None)
    if at:
        own["creation_time"] = at.isoformat(timespec="milliseconds")
    part = settings.sounds / f".part-{clip.sha256}-{start}.flac"
    write_note(part, samples, own)
    sha256 = hashlib.sha256(part.read_bytes()).hexdigest()
    made = Clip(
        sha256=sha256,
        visit_id=clip.visit_id,
        file_name=f"{Path(clip.file_name).stem}_{place:09d}.flac",
        suffix=".flac",
        seconds=len(samples) / RATE,
        source_rate=RATE,
        channels=1,
        recorded_at=at,
        recorded_from=clip.recorded_from,
    )
    target = kept_path(settings, made)
    target.parent.mkdir(parents=True, exist_ok=True)
    part.replace(target)
    return made


def _cuts(words: _Words) -> list[float]:
    """Seconds at which one note ends and the next begins."""
    if any(word.get("start") is None or word.get("end") is None for word in words):
        return []
    reading = parse([Word(**word) for word in words])
    places = set()
    spoken = set(range(len(words)))
    for command in reading.commands:
        if command.kind == "end of note":
            places.add(command.last)
        elif command.kind == "next cow":
            places.add(command.first)
        spoken -= set(range(command.first, command.last))
    cuts: list[float] = []
    begun = 0
    for place in sorted(places):
        # Words on both sides besides the commands, or there is nothing to part.
        if any(begun <= at < place for at in spoken) and any(at >= place for at in spoken):
            cuts.append((words[place - 1]["end"] + words[place]["start"]) / 2)
            begun = place
    return cuts


def _between(words: _Words, start: float, end: float) -> _Words:
    """The words whose middle lies between, with times from `start`."""
    return [
        word | {"start": max(0.0, word["start"] - start), "end": word["end"] - start}
        for word in words
        if start <= (word["start"] + word["end"]) / 2 < end
    ]


def _fits_between(fits: list[dict[str, Any]], start: float, end: float) -> list[dict[str, Any]]:
    """What is said of the stretches that reach in between, with times from `start`."""
    return [
        fit | {"start": max(0.0, fit["start"] - start), "end": min(fit["end"], end) - start}
        for fit in fits
        if fit["start"] < end and fit["end"] > start
    ]
