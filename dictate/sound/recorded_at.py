"""When a clip was recorded: from its metadata, else its name, else the file's own time."""

import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from dictate.sound.stream import describe

_TAGS = ("com.apple.quicktime.creationdate", "creation_time", "date_recorded", "icrd", "date")
"""Tags in order of trust. The first carries the phone's own time zone; `creation_time` is UTC."""

_DATE = r"(?P<y>(?:19|20)\d\d)[-_. ]?(?P<mo>0[1-9]|1[0-2])[-_. ]?(?P<d>0[1-9]|[12]\d|3[01])"
_TIME = r"(?P<h>[01]\d|2[0-3])[-_.:h ]?(?P<mi>[0-5]\d)(?:[-_.:m ]?(?P<s>[0-5]\d))?"
_NAME = re.compile(rf"(?<!\d){_DATE}(?:[-_. T]*(?:at )?{_TIME})?(?!\d)")
_SHORT_NAME = re.compile(
    r"(?<!\d)(?P<y>\d\d)(?P<mo>0[1-9]|1[0-2])(?P<d>0[1-9]|[12]\d|3[01])"
    r"[-_ ](?P<h>[01]\d|2[0-3])(?P<mi>[0-5]\d)(?P<s>[0-5]\d)?(?!\d)"
)
"""Pocket recorders' `260302_0915`."""


Source = Literal["metadata", "file name", "file time"]

_SOURCES: Mapping[str, Source] = {"file name": "file name", "file time": "file time"}
"""A note cut out of a long recording says in its tag how the recording's own time was known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedAt:
    """A moment and how it is known."""

    moment: dt.datetime
    """With a time zone: the recorder's own where it is known, else this computer's."""
    source: Source
    """`file time` changes when a file is copied carelessly: worth a look."""
    has_time: bool = True
    """False when only the day is known."""


def recorded_at(path: Path, *, zone: dt.tzinfo | None = None) -> RecordedAt:
    """Find when a sound file was recorded.

    Args:
        path: A readable sound file.
        zone: Time zone of names and tags that carry none; None for this computer's.

    Raises:
        SoundError: the file cannot be read as sound.
    """
    found = time_from_tags(describe(path).tags, zone=zone) or time_from_name(path.name, zone=zone)
    if found:
        return found
    moment = dt.datetime.fromtimestamp(path.stat().st_mtime, tz=dt.UTC).astimezone(zone)
    return RecordedAt(moment=moment, source="file time")


def time_from_tags(tags: Mapping[str, str], *, zone: dt.tzinfo | None = None) -> RecordedAt | None:
    """Read the recording time out of a file's tags (lower-case keys); None when there is none."""
    for tag in _TAGS:
        text = tags.get(tag, "").strip()
        try:
            moment = dt.datetime.fromisoformat(text)
        except ValueError:
            continue
        if moment.year < 2000:  # a phone whose clock was never set: 1904, 1970
            continue
        return RecordedAt(
            moment=_in_zone(moment, zone),
            source=_SOURCES.get(tags.get("recorded_from", ""), "metadata"),
            has_time=len(text) > len("2026-03-02"),
        )
    return None


def time_from_name(name: str, *, zone: dt.tzinfo | None = None) -> RecordedAt | None:
    """Read the recording time out of a file's name; None when it holds none.

    Knows year-month-day with or without a time, in the separators that phones and recorders use
    (`20260302_091500.m4a`, `Recording 2026-03-02 at 09.15.wav`), and `260302_0915.wav`.
    """
    match = _NAME.search(name) or _SHORT_NAME.search(name)
    if not match:
        return None
    part = {key: int(value) for key, value in match.groupdict().items() if value}
    year = part["y"] if part["y"] > 99 else 2000 + part["y"]
    try:
        moment = dt.datetime(  # noqa: DTZ001 (the zone follows)
            year, part["mo"], part["d"], part.get("h", 0), part.get("mi", 0), part.get("s", 0)
        )
    except ValueError:  # 31 February
        return None
    return RecordedAt(moment=_in_zone(moment, zone), source="file name", has_time="h" in part)


def _in_zone(moment: dt.datetime, zone: dt.tzinfo | None) -> dt.datetime:
    if moment.tzinfo is not None:
        # UTC is how most devices write a time, not where they were: an evening must keep its day.
        return moment.astimezone(zone) if zone or not moment.utcoffset() else moment
    return moment.replace(tzinfo=zone) if zone else moment.astimezone()
