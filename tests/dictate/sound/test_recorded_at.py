"""When a clip was recorded, and how that is known."""

import datetime as dt
import os
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from dictate.sound import recorded_at
from dictate.sound.recorded_at import time_from_name, time_from_tags

from .conftest import Write

ZONE = ZoneInfo("Europe/Dublin")


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("20260302_091500.m4a", dt.datetime(2026, 3, 2, 9, 15)),
        ("Recording 2026-03-02 at 09.15.wav", dt.datetime(2026, 3, 2, 9, 15)),
        ("Voice 20260302 091512.amr", dt.datetime(2026, 3, 2, 9, 15, 12)),
        ("2026-03-02T09:15:12.flac", dt.datetime(2026, 3, 2, 9, 15, 12)),
        ("260302_0915.mp3", dt.datetime(2026, 3, 2, 9, 15)),
        ("AUD-20260302-WA0007.opus", dt.datetime(2026, 3, 2)),
        ("2026-02-31 0915.wav", None),
        ("cow 412.wav", None),
        ("826012345600412.wav", None),
        ("REC0012.WAV", None),
    ],
)
def test_names_of_phones_and_recorders(name: str, expected: dt.datetime | None) -> None:
    """Dates in file names are read; animal numbers and impossible dates are not dates."""
    found = time_from_name(name, zone=ZONE)

    if expected is None:
        assert found is None
    else:
        assert found is not None
        assert expected.replace(tzinfo=ZONE) == found.moment
        assert (expected.hour > 0) == found.has_time


def test_summer_time_follows_the_zone() -> None:
    """A name without a zone is local time of the farm, winter and summer."""
    winter, summer = (
        time_from_name(name, zone=ZONE) for name in ("20260302_0915.wav", "20260702_0915.wav")
    )

    assert winter is not None
    assert summer is not None
    assert winter.moment.utcoffset() == dt.timedelta(0)
    assert summer.moment.utcoffset() == dt.timedelta(hours=1)


def test_tags_come_before_the_name() -> None:
    """The phone's tag with its own zone is trusted first, then UTC creation time."""
    tags = {
        "creation_time": "2026-03-02T09:00:00.000000Z",
        "com.apple.quicktime.creationdate": "2026-03-02T10:00:00+0100",
    }
    found = time_from_tags(tags)

    assert found is not None
    assert found.moment == dt.datetime(2026, 3, 2, 9, tzinfo=dt.UTC)
    assert found.source == "metadata"


def test_a_clock_never_set_is_not_believed() -> None:
    """Tags from before 2000 come from devices that do not know the time."""
    assert time_from_tags({"creation_time": "1970-01-01T00:00:00Z"}) is None


def test_metadata_then_name_then_file_time(write: Write) -> None:
    """Each source is used when the better ones are missing, and says which it was."""
    hiss = np.random.default_rng(1).normal(0, 0.01, 48_000)
    tagged = write(
        "20260301_0800.m4a", hiss, 48_000, tags={"creation_time": "2026-03-02T09:00:00Z"}
    )
    named = write("20260302_0915.wav", hiss)
    plain = write("note.wav", hiss)
    os.utime(plain, (1_772_442_000, 1_772_442_000))

    assert recorded_at(tagged).source == "metadata"
    assert recorded_at(tagged).moment == dt.datetime(2026, 3, 2, 9, tzinfo=dt.UTC)
    assert recorded_at(named, zone=ZONE).source == "file name"
    assert recorded_at(plain).source == "file time"
    assert recorded_at(plain).moment == dt.datetime(2026, 3, 2, 9, tzinfo=dt.UTC)
