"""Clips a second with 1, 2 and 4 Dask workers, and whether the records are those of one process.

    python tests/bench/workers.py [--clips 500] [--workers 1 2 4] [--model DIR]

The clips are those of `demo_audio`, each made another file by a short silence of its own, so that
every copy has a hash of its own and is heard again. They are taken in once; every run then hears
and reads them from a home of its own. Times are of hearing and of reading, by workers that have
loaded the model; loading is timed by itself. First the clips go through this process, without
Dask. Beside each run stand the computer's load just before it, and what a clip took of a core: in
the workers, and in the program that gives the clips out and writes. Where other programs have the
cores, clips a second tell little; what a clip takes of a core tells what more workers cost.
"""

import argparse
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import soundfile
from sqlmodel import select

from dictate.hearing import open_engine
from dictate.notes.many_machines import cluster, hands_of
from dictate.notes.pipeline import Hands, run_batch
from dictate.notes.taking_in import Where
from dictate.settings import Settings
from dictate.sound import read_sound
from dictate.store.database import open_database
from dictate.store.tables import Clip, Entry, Note

AUDIO = Path(__file__).parents[2] / "demo_audio"
Records = list[tuple[Any, ...]]


class Took(NamedTuple):
    """What something took of the clock, and of a core in this process, in seconds."""

    clock: float
    core: float


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--clips", type=int, default=500)
    parser.add_argument("--workers", type=int, nargs="*", default=[1, 2, 4])
    parser.add_argument("--model", type=Path)
    asked = parser.parse_args()
    opener = partial(_engine, asked.model)
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        os.environ["DICTATE_HOME"] = folder
        files = _copies(home / "clips", asked.clips)
        _taken_in(home / "all", files)
        _copy_of(home / "all", home / "alone")
        expected, *alone = _through(home / "alone", opener, Hands())
        print(f"this process, {len(files)} clips: {_line(alone, len(files))}", flush=True)
        rates: dict[int, float] = {}
        for workers in asked.workers:
            own = home / f"workers{workers}"
            _copy_of(home / "all", own)
            with cluster(workers=workers) as client:
                began = time.monotonic()
                client.run(_load, opener)
                loading = time.monotonic() - began
                load, before = os.getloadavg()[0], _core_seconds(client)
                found, *took = _through(own, opener, hands_of(client))
                there = _core_seconds(client) - before
            same = found == expected
            rates[workers] = len(files) / sum(one.clock for one in took)
            print(f"{workers} workers, {len(files)} clips: {_line(took, len(files))}; "
                  f"{rates[workers] / rates[asked.workers[0]]:.2f} times {asked.workers[0]} workers; "
                  f"{there / len(files):.3f} s of a core for a clip in a worker; "
                  f"load before {load:.2f}; loading {loading:.1f} s; "
                  f"{'the same' if same else 'OTHER'} records", flush=True)  # fmt: skip
            if not same:
                sys.exit(1)


def _line(took: Sequence[Took], clips: int) -> str:
    whole = sum(one.clock for one in took)
    parts = (
        f"{what} {one.clock:.1f} s, {one.core / clips:.4f} s of a core for a clip here"
        for what, one in zip(("hearing", "reading"), took, strict=True)
    )
    return f"{clips / whole:.2f} clips a second ({', '.join(parts)})"


def _difference(found: Records, expected: Records) -> Any:
    """Return the first two records that differ."""
    return next((pair for pair in zip(found, expected, strict=False) if pair[0] != pair[1]), None)


def _copies(folder: Path, number: int) -> list[Path]:
    folder.mkdir()
    clips = sorted(AUDIO.glob("*.opus"))
    paths = []
    for n in range(number):
        sound = read_sound(clips[n % len(clips)])
        path = folder / f"clip{n:05}.flac"
        soundfile.write(path, np.append(sound.samples, np.zeros(160 + n, np.int16)), 16_000)
        paths.append(path)
    return paths


def _settings(home: Path) -> Settings:
    return Settings(home=home, trimmer="Robin Field")


def _taken_in(home: Path, files: list[Path]) -> None:
    def not_yet(*_words: Any, **_more: Any) -> list[Any]:
        return []

    deaf = Hands(hear=not_yet)
    with open_database(_settings(home).database_url) as database:
        run_batch(database, _settings(home), files, Where(farm="Alder Farm"), _engine, hands=deaf)


def _copy_of(home: Path, other: Path) -> None:
    shutil.copytree(home, other, copy_function=os.link, ignore=shutil.ignore_patterns("record.db*"))
    shutil.copyfile(home / "record.db", other / "record.db")


def _through(home: Path, opener: Callable[..., Any], hands: Hands) -> tuple[Records, Took, Took]:
    """Hear and read what was taken in: the records, and what hearing and all the rest took."""
    took: list[Took] = []

    def timed(*words: Any, **more: Any) -> Any:
        began, core = time.monotonic(), time.process_time()
        heard = hands.hear(*words, **more)
        took.append(Took(time.monotonic() - began, time.process_time() - core))
        return heard

    with open_database(_settings(home).database_url) as database:
        began, core = time.monotonic(), time.process_time()
        run_batch(
            database, _settings(home), [], None, opener,
            hands=Hands(hear=timed, begin_reading=hands.begin_reading),
        )  # fmt: skip
        (hearing,) = took
        reading = Took(
            time.monotonic() - began - hearing.clock, time.process_time() - core - hearing.core
        )
        with database.reading() as session:
            notes = select(Clip.file_name, Note.words, Note.alternatives).join(Note)
            entries = (
                select(Clip.file_name, Entry.content)
                .join(Note, Note.clip_id == Clip.id)
                .join(Entry)
            )
            records = [
                *map(tuple, session.exec(notes.order_by(Clip.file_name)).all()),
                *map(tuple, session.exec(entries.order_by(Clip.file_name, Entry.position)).all()),
            ]
    return records, hearing, reading


def _core_seconds(client: Any) -> float:
    """Seconds of a core that the workers have taken so far."""
    return sum(client.run(time.process_time).values())


def _load(opener: Callable[..., Any]) -> None:
    opener(None)


def _engine(model: Path | None, roster: Any) -> Any:
    return open_engine(model, roster=roster)


if __name__ == "__main__":
    main()
