"""Notes read by workers ahead of the program that queues them: the same entries, few read twice."""

from collections.abc import Callable
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from sqlmodel import select

from dictate.notes import reading_ahead, reading_notes
from dictate.notes.pipeline import Hands, run_batch
from dictate.notes.taking_in import Where
from dictate.store.database import open_database
from dictate.store.tables import Clip, Entry, Note, Reading
from tests.fake_engine import FakeEngine

PLAIN = (
    "cow four twelve left hind outer sole ulcer zone four", "right hind clean", "cow seven clean",
    "left front white line disease", "cow nine right hind digital dermatitis", "same cow block inner",
    "next cow", "left hind clean", "cow four twelve right front clean", "cow eight clean",
    "cow ten left hind inner toe ulcer", "cow eleven clean", "right hind outer sole ulcer",
    "cow twelve clean", "um so the weather is grand", "cow thirteen left front clean",
    "cow fourteen clean", "left hind inner sole haemorrhage",
)  # fmt: skip
CORRECTED = (
    *PLAIN[:3], "no cow nine", "right hind clean", "scratch that", *PLAIN[4:12],
    "correction left hind", "right hind clean", *PLAIN[13:],
)  # fmt: skip


class Done:
    """A future whose work was done when it was handed in."""

    def __init__(self, result: Any) -> None:
        self._result = result

    def exception(self) -> Exception | None:
        return self._result if isinstance(self._result, Exception) else None

    def result(self) -> Any:
        return self._result


class OneWorker:
    """Stands in for a Dask client: does what it is given at once."""

    def submit(self, function: Callable[..., Any], *words: Any, **_more: Any) -> Done:
        return Done(function(*(one.result() if isinstance(one, Done) else one for one in words)))


class Broken(OneWorker):
    """All its workers die."""

    def submit(self, function: Callable[..., Any], *words: Any, **_more: Any) -> Done:
        return Done(RuntimeError("killed"))


@pytest.fixture
def records(settings, clip, tmp_path, monkeypatch):
    """Run notes through a new record; what is in it then, and how many notes this process read."""
    here: list[None] = []
    real = reading_notes.understand

    def counted(*words: Any, **more: Any) -> Any:
        here.append(None)
        return real(*words, **more)

    monkeypatch.setattr(reading_notes, "understand", counted)

    def go(files: list[Path], client: Any = None) -> tuple[list[Any], int]:
        here.clear()
        own = settings.model_copy(update={"home": tmp_path / f"home of {type(client).__name__}"})
        own.home.mkdir()
        hands = Hands(begin_reading=reading_ahead.read_ahead(client)) if client else Hands()
        where, engine = Where(farm="Alder Farm"), FakeEngine(clip.said)
        with open_database(own.database_url) as database:
            run_batch(database, own, files, where, lambda _roster: engine, hands=hands)
            with database.reading() as session:
                rows = select(
                    Clip.file_name, Note.state, Reading.origin, Reading.carried_in, Reading.entries
                )
                rows = rows.join(Note, Note.clip_id == Clip.id).join(Reading)
                entries = select(Entry.state, Entry.reason, Entry.content).order_by(Entry.id)
                return [
                    *map(tuple, session.exec(rows.order_by(Reading.id)).all()),
                    *map(tuple, session.exec(entries).all()),
                ], len(here)

    return go


@pytest.fixture(params=[PLAIN, CORRECTED], ids=["plain", "corrected"])
def files(request, clip) -> list[Path]:
    return [
        clip(f"20260302_08{n // 6:02}{n % 6}0.opus", text) for n, text in enumerate(request.param)
    ]


def test_the_records_are_those_of_one_process(files, records) -> None:
    """Carried animals, corrections and talk come out alike, whoever read the notes."""
    expected, alone = records(files)
    found, here = records(files, OneWorker())

    assert expected == found
    assert here == 0 < alone  # the worker read each note, also those after a wrong guess


def test_what_no_worker_gives_back_is_read_here(files, records) -> None:
    """A batch ends well though every worker dies."""
    assert records(files) == records(files, Broken())


def test_a_worker_with_other_words_is_not_believed(files, records, monkeypatch) -> None:
    """A computer of the cluster may have another version of the program."""
    expected = records(files)
    monkeypatch.setattr(reading_ahead, "lexicon_version", map(str, count()).__next__)

    assert expected == records(files, OneWorker())
