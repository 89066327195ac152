"""The computer's clock: set back while one works, and changed to summer or winter time within a visit."""

import datetime as dt
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from zoneinfo import ZoneInfo

import av
import day
import numpy as np
import pytest
from sqlmodel import select

from dictate.notes.pipeline import run_batch
from dictate.notes.taking_in import Where
from dictate.review.waiting import waiting
from dictate.settings import Settings
from dictate.sound import read_sound
from dictate.store.database import open_database
from dictate.store.tables import Clip, Entry, Note, Visit
from dictate.written import hash_file
from tests.deciding import amend, confirm, undo
from tests.fake_engine import CLIPS, FakeEngine

CHICAGO = "America/Chicago"
"""Daylight saving begins on the second Sunday of March and ends on the first of November (15 U.S.C. 260a)."""


def test_clock_set_back_between_confirmations(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The history's order does not hang on the clock: undo takes back what was done last."""
    settings = Settings(home=tmp_path, trimmer="Robin Field")
    path = CLIPS[0]
    engine = FakeEngine({hash_file(path): day.SAYS[0]})
    hours = iter((18, 17, 16, 15))
    for module in ("dictate.review.acts.confirming", "dictate.store.tables"):
        monkeypatch.setattr(
            f"{module}.now", lambda: dt.datetime(2026, 3, 2, next(hours, 3), tzinfo=dt.UTC)
        )
    with open_database(settings.database_url) as database:
        run_batch(database, settings, [path], Where(farm="Alder Farm"), lambda _roster: engine)
        with database.reading() as session:
            (entry,) = waiting(session)
        with database.writing() as session:
            confirm(session, entry.id, by="Robin Field", version=entry.version)
        with database.writing() as session:
            amend(session, entry.id, {"remark": "later, by an earlier clock"}, by="Robin Field")
        with database.writing() as session:
            undone = undo(session, entry.id, by="Robin Field")

    assert ("confirmed", None) == (undone.state, undone.content["remark"])


@pytest.fixture
def chicago(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """This computer is in Chicago."""
    with monkeypatch.context() as patch:
        patch.setenv("TZ", CHICAGO)
        time.tzset()
        yield
    time.tzset()


@pytest.fixture
def recording(tmp_path: Path) -> Callable[[str, dt.datetime], Path]:
    """Make a clip that a phone recorded at a moment, as phones write it: UTC in `creation_time`."""

    def make(name: str, moment: dt.datetime) -> Path:
        path = tmp_path / name
        samples = read_sound(CLIPS[len(list(tmp_path.iterdir()))]).samples.reshape(1, -1)
        with av.open(str(path), "w", format="mp4") as container:
            container.metadata["creation_time"] = (
                f"{moment.astimezone(dt.UTC):%Y-%m-%dT%H:%M:%S.000000Z}"
            )
            stream = container.add_stream("aac", rate=16_000, layout="mono")
            frame = av.AudioFrame.from_ndarray(samples.astype(np.float32) / 32768, "fltp", "mono")
            frame.rate = 16_000
            for packet in [*stream.encode(frame), *stream.encode(None)]:
                container.mux(packet)
        return path

    return make


def _taken_in(
    home: Path, notes: list[tuple[Path, str]]
) -> tuple[list[dt.date], list[tuple[str, str]]]:
    """Days of the visits, and of each clip in order of its name its entry's animal and follow-up's day."""
    settings = Settings(home=home, trimmer="Robin Field")
    engine = FakeEngine({hash_file(path): text for path, text in notes})
    with open_database(settings.database_url) as database:
        run_batch(
            database,
            settings,
            [path for path, _ in notes],
            Where(farm="Alder Farm"),
            lambda _roster: engine,
        )
        with database.reading() as session:
            days = list(session.exec(select(Visit.date).order_by(Visit.date)))
            query = (
                select(Entry.content)
                .join(Note)
                .join(Clip, Note.clip_id == Clip.id)
                .order_by(Clip.file_name)
            )
            entries = [
                (content["animal"], "".join(str(due["date"]) for due in content["follow_ups"]))
                for content in session.exec(query)
            ]
    return days, entries


@pytest.mark.usefixtures("chicago")
def test_the_hour_that_comes_twice_keeps_its_order(tmp_path: Path, recording) -> None:
    """In the repeated hour, notes follow one another as they were said, not as the clock on the wall showed."""
    zone = ZoneInfo(CHICAGO)
    first = dt.datetime(2026, 11, 1, 1, 50, tzinfo=zone, fold=0)
    second = dt.datetime(2026, 11, 1, 1, 10, tzinfo=zone, fold=1)
    assert second.astimezone(dt.UTC) - first.astimezone(dt.UTC) == dt.timedelta(minutes=20)

    days, entries = _taken_in(
        tmp_path / "home",
        [
            (recording("b.m4a", first), "cow nine left hind clean"),
            (recording("a.m4a", second), "right hind sole ulcer look again in one week"),
        ],
    )

    assert [dt.date(2026, 11, 1)] == days
    assert [("9", "2026-11-08"), ("9", "")] == entries


@pytest.mark.usefixtures("chicago")
def test_the_hour_that_is_missing_is_no_gap(tmp_path: Path, recording) -> None:
    """A visit over the change in spring is one visit, and intervals count days of the calendar."""
    zone = ZoneInfo(CHICAGO)
    days, entries = _taken_in(
        tmp_path / "home",
        [
            (
                recording("a.m4a", dt.datetime(2026, 3, 8, 1, 59, tzinfo=zone)),
                "cow nine left hind clean",
            ),
            (
                recording("b.m4a", dt.datetime(2026, 3, 8, 3, 1, tzinfo=zone)),
                "right hind sole ulcer look again in two weeks",
            ),
        ],
    )

    assert [dt.date(2026, 3, 8)] == days
    assert [("9", ""), ("9", "2026-03-22")] == entries


@pytest.mark.usefixtures("chicago")
def test_an_evening_belongs_to_its_own_day(tmp_path: Path, recording) -> None:
    """Seven in the evening in Chicago is the next day in UTC, which phones write; the visit is today's."""
    evening = dt.datetime(2026, 3, 2, 19, 0, tzinfo=ZoneInfo(CHICAGO))

    days, _ = _taken_in(
        tmp_path / "home", [(recording("a.m4a", evening), "cow nine left hind clean")]
    )

    assert [dt.date(2026, 3, 2)] == days
