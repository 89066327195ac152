"""Hearing and reading on many processes or machines with Dask; everything else stays in one place.

Workers turn bytes into words, and words into entries with their checks (`reading_ahead`): they see
no database and write nothing, so a worker that dies loses nothing and its work goes to another. This program alone writes notes, each as it comes, so a
batch that is stopped goes on where it was, and the records are those of a single process.
"""

import logging
import os
import platform
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from dictate.errors import DictateError, ModelError
from dictate.hearing import SHIFTS, Engine
from dictate.large_work import Watcher
from dictate.notes.hearing_clips import (
    ClipHeard,
    OpenEngine,
    SaidInClip,
    clips_to_hear,
    keep_note,
    keep_times_ended,
    listen,
    times_ended,
)
from dictate.notes.pipeline import Hands
from dictate.notes.reading_ahead import read_ahead
from dictate.settings import Settings
from dictate.store.clips import kept_path
from dictate.store.database import Database
from dictate.store.tables import Clip
from grammar import Roster

if TYPE_CHECKING:
    from distributed import Client

_AHEAD = 4
"""Clips given out for each worker thread: enough to keep it busy, few enough to stay in memory."""

_CONNECT_S = 10.0
"""How long a scheduler may take to answer."""

_engines: dict[str, Engine] = {}
"""A worker's recogniser; one at a time, since farms come one after the other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Answer:
    """What a worker sends back for one clip."""

    said: SaidInClip | None = None
    fault: str = ""


@contextmanager
def cluster(*, address: str | None = None, workers: int | None = None) -> "Iterator[Client]":
    """Connect to a Dask scheduler, or start worker processes here for as long as the block lasts.

    Raises:
        DictateError: Dask is not installed, or nobody answers at the address.
    """
    try:
        from distributed import Client, LocalCluster  # noqa: PLC0415 (an optional package)
    except ImportError as error:
        raise DictateError(
            "Dask is not installed", remedy='Install the extra: pip install "dictate[machines]"'
        ) from error
    # What Dask says of its own workers coming and going is no news for a trimmer.
    logging.getLogger("distributed").setLevel(logging.ERROR)
    if address is not None:
        try:
            client = Client(address, timeout=_CONNECT_S)
        except (OSError, ValueError) as error:
            raise DictateError(
                f"no Dask scheduler answers: {error}",
                where=address,
                remedy="Start one: docs/scale.md",
            ) from error
        with client:
            yield client
        return
    try:
        local = LocalCluster(
            n_workers=workers or os.cpu_count() or 1,
            threads_per_worker=1,  # the recogniser keeps one core busy
            # Dask would take port 8787 for a page of its own, and warn when another program has it.
            dashboard_address="127.0.0.1:0",
            # Over one clip a worker is to end once, not four times: see `_answers`.
            scheduler_kwargs={"dashboard": False, "allowed_failures": 0},
            silence_logs=logging.ERROR,
            host="127.0.0.1",  # nobody outside this computer may hand work in
        )
    except (OSError, RuntimeError) as error:
        raise DictateError(
            f"the processes that hear did not start: {error}",
            remedy="Take the notes in without --workers, or with fewer",
        ) from error
    with local, Client(local) as client:
        yield client


def hands_of(client: "Client") -> Hands:
    """The workers of a Dask client, for `run_batch`."""
    return Hands(hear=partial(_hear_clips, client), begin_reading=read_ahead(client))


def _hear_clips(
    client: "Client",
    database: Database,
    settings: Settings,
    open_engine: OpenEngine,
    *,
    watcher: Watcher,
) -> list[ClipHeard]:
    outcomes = []
    for roster, clips in clips_to_hear(database, settings, watcher=watcher):
        for clip, answer in _answers(client, settings, open_engine, roster, clips):
            if answer.said is not None:
                text = keep_note(database, settings, clip, answer.said)
                outcomes.append(ClipHeard(file_name=clip.file_name, text=text))
            else:
                watcher.fault(answer.fault)
                outcomes.append(ClipHeard(file_name=clip.file_name, fault=answer.fault))
            watcher.step()
    return outcomes


def _answers(
    client: "Client",
    settings: Settings,
    open_engine: OpenEngine,
    roster: Roster | None,
    clips: Sequence[Clip],
) -> Iterator[tuple[Clip, _Answer]]:
    """Give clips out as workers get free, and yield each answer as it comes.

    When a worker ends over a clip, those that waited for it are suspected with it: each of them is
    heard once more with nothing beside it.
    """
    from distributed import KilledWorker, as_completed  # noqa: PLC0415 (an optional package)

    engine_key = uuid4().hex
    waiting = iter(clips)
    by_key: dict[str, Clip] = {}

    def give_out(clip: Clip) -> Any:
        try:
            data: bytes | str = kept_path(settings, clip).read_bytes()
        except OSError as error:
            data = error.strerror or str(error)
        ended = times_ended(settings, clip)
        # Named by the sound: a clip whose worker died is the same task, given to another.
        key = f"hear-{clip.sha256}-{ended}-{uuid4().hex}"
        by_key[key] = clip
        # The recogniser's opener travels with each task: what is scattered can die with a worker.
        return client.submit(
            _hear_bytes, open_engine, roster, engine_key, data, clip.suffix, clip.file_name, ended, key=key
        )  # fmt: skip

    threads = max(1, sum(client.nthreads().values()))
    done = as_completed([give_out(clip) for clip in islice(waiting, _AHEAD * threads)])
    suspected = []
    for future in done:
        clip = by_key.pop(future.key)
        if isinstance(future.exception(), KilledWorker):
            suspected.append(clip)
        else:
            yield clip, _result(future)
        future.release()
        if (another := next(waiting, None)) is not None:
            done.add(give_out(another))
    for clip in suspected:
        yield clip, _heard_alone(settings, clip, give_out)


def _heard_alone(settings: Settings, clip: Clip, give_out: Callable[[Clip], Any]) -> _Answer:
    """Hear a clip over which workers may have ended: as it is, then a little shifted, then without words."""
    from distributed import KilledWorker  # noqa: PLC0415 (an optional package)

    for ended in (*range(2, len(SHIFTS) + 2), 0):
        future = give_out(clip)
        if not isinstance(future.exception(), KilledWorker):
            keep_times_ended(settings, clip, 0)
            break
        # It is the second time, so it is the sound; but for a clip over whose silence they end as
        # well: then it is the workers, and next time it begins anew.
        keep_times_ended(settings, clip, ended)
    return _result(future)


def _result(future: Any) -> _Answer:
    error = future.exception()
    if error is None:
        return future.result()
    if isinstance(error, ModelError):
        raise error
    return _Answer(
        fault=f"no worker could hear it ({type(error).__name__}); it is tried again next time"
    )


def _opened(open_engine: OpenEngine, roster: Roster | None, engine_key: str) -> Engine:
    """Open the recogniser, one worker of a computer after another: the first builds the herd's graph."""
    from distributed import Lock  # noqa: PLC0415 (an optional package)

    with Lock(f"open-{engine_key}-{platform.node()}"):
        return open_engine(roster)


def _hear_bytes(
    open_engine: OpenEngine,
    roster: Roster | None,
    engine_key: str,
    data: bytes | str,
    suffix: str,
    name: str,
    ended: int,
) -> _Answer:
    """Hear one clip; runs on a worker."""
    if isinstance(data, str):
        return _Answer(fault=f"{name}: the kept sound cannot be read ({data})")
    engine = _engines.get(engine_key)
    if engine is None:
        _engines.clear()
        engine = _engines.setdefault(engine_key, _opened(open_engine, roster, engine_key))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, f"clip{suffix}")
        path.write_bytes(data)
        try:
            return _Answer(said=listen(engine, path, ended=ended))
        except ModelError:
            raise
        except DictateError as error:
            return _Answer(fault=f"{name}: {error.what}. {error.remedy}")
