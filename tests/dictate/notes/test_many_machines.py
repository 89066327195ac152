"""Hearing on several processes: the records of one, whatever becomes of a worker."""

import multiprocessing
import os
import signal
import socket
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest
from sqlmodel import select

from dictate.notes.pipeline import run_batch
from dictate.notes.taking_in import Where
from dictate.sound import read_sound
from dictate.store.database import open_database
from dictate.store.tables import Entry, Note
from tests.dictate.notes.killed import Collapses
from tests.fake_engine import FakeEngine

dask = pytest.importorskip("dask", reason="Dask is not installed (extra `machines`)")
distributed = pytest.importorskip("distributed", reason="Dask is not installed (extra `machines`)")
pytestmark = [
    pytest.mark.filterwarnings("ignore::ResourceWarning"),
    pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning"),
    pytest.mark.filterwarnings("ignore::DeprecationWarning"),
]
SAYS = ("cow four twelve left hind outer sole ulcer", "right hind clean", "cow seven clean", "")


class KillsOnce:
    """Ends its own process the first time it hears anything; only the marker file remembers."""

    def __init__(self, engine: FakeEngine, marker: Path) -> None:
        self.engine, self.marker = engine, marker
        self.describe = engine.describe

    def hear(self, sound):
        try:
            self.marker.open("x").close()
        except FileExistsError:
            return self.engine.hear(sound)
        os.kill(os.getpid(), signal.SIGKILL)
        raise AssertionError("unreachable")


def _records(database) -> list[object]:
    with database.reading() as session:
        notes = session.exec(
            select(Note.words, Note.engine, Note.has_speech).order_by(Note.clip_id)
        ).all()
        return [*map(tuple, notes), *session.exec(select(Entry.content).order_by(Entry.id)).all()]


def _quick_start() -> "dask.config.set":
    """Workers that share one import of everything; by default each imports for itself."""
    multiprocessing.set_forkserver_preload(["distributed", "dictate.notes.many_machines"])
    return dask.config.set({"distributed.worker.multiprocessing-method": "forkserver"})


@contextmanager
def _another_dask() -> Iterator[None]:
    """The port of Dask's own page is taken, here or by another program: that must not matter."""
    with socket.socket() as taken:
        with suppress(OSError):
            taken.bind(("127.0.0.1", 8787))
            taken.listen()
        yield


def test_same_records_though_a_worker_is_killed(settings, clip, tmp_path: Path, capfd) -> None:
    """Two workers, one killed mid-way: notes and entries equal those of a single process, each once.

    What Dask says of that in its log is not shown.
    """
    from dictate.notes.many_machines import cluster, hands_of

    files = [clip(f"20260302_0800{n}0.opus", text) for n, text in enumerate(SAYS)]
    engine = FakeEngine(clip.said)
    killer = KillsOnce(engine, tmp_path / "killed")
    where = Where(farm="Alder Farm")
    with open_database(f"sqlite:///{tmp_path / 'one.db'}") as alone:
        run_batch(alone, settings, files, where, lambda _roster: engine)
        expected = _records(alone)

    with (
        _another_dask(),
        _quick_start(),
        cluster(workers=2) as client,
        open_database(settings.database_url) as database,
    ):
        batch = run_batch(
            database, settings, files, where, lambda _roster: killer, hands=hands_of(client)
        )
        found = _records(database)

    assert killer.marker.exists()
    assert "distributed" not in "".join(capfd.readouterr())
    assert (4, ()) == (len(batch.heard), batch.faults)
    assert sorted(map(str, expected)) == sorted(map(str, found))


@pytest.mark.parametrize(
    ("moves", "heard"), [((0,), "412"), ((0, 80, 200), None)], ids=["moved", "never-heard"]
)
def test_a_sound_over_which_workers_end_is_heard_moved_or_waits_without_words(
    settings, clip, tmp_path: Path, moves: tuple[int, ...], heard: str | None
) -> None:
    """It stops nothing beside it and behind it, and is not tried again for ever."""
    from dictate.notes.many_machines import cluster, hands_of

    files = [clip(f"20260302_0800{n}0.opus", text) for n, text in enumerate(SAYS)]
    bad = read_sound(files[0])
    engine = Collapses(
        clip.said, over=frozenset((bad.sha256, len(bad.samples) + more) for more in moves)
    )
    with (
        _quick_start(),
        cluster(workers=1) as client,
        open_database(settings.database_url) as database,
    ):
        where = Where(farm="Alder Farm")
        batch = run_batch(
            database, settings, files, where, lambda _roster: engine, hands=hands_of(client)
        )
        with database.reading() as session:
            words = session.exec(select(Note.words).order_by(Note.clip_id)).all()
            entries = session.exec(select(Entry.content)).all()

    assert (4, ()) == (len(batch.heard), batch.faults)
    assert not (settings.home / "hearing").exists()
    assert [bool(text) and (at > 0 or heard is not None) for at, text in enumerate(SAYS)] == [
        bool(one) for one in words
    ]
    assert "7" in str(entries)


def test_nobody_at_the_address_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """A wrong address ends in one error that names it."""
    from dictate.errors import DictateError
    from dictate.notes.many_machines import cluster

    monkeypatch.setattr("dictate.notes.many_machines._CONNECT_S", 0.5)
    with (
        pytest.raises(DictateError, match="no Dask scheduler answers") as caught,
        cluster(address="tcp://127.0.0.1:9"),
    ):
        pass
    assert "127.0.0.1:9" in caught.value.line
