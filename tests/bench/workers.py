"""Clips a second with 1, 2 and 4 Dask workers, and whether the records are those of one process.

    python tests/bench/workers.py [--clips 500] [--workers 1 2 4] [--alone 100] [--model DIR]

The clips are those of `demo_audio`, each made another file by a short silence of its own, so that
every copy has a hash of its own and is heard again. They are taken in once; every run then hears
and reads them from a home of its own. Times are of hearing alone, by workers that have loaded the
model; loading is timed by itself. The first clips are also heard in this process, without Dask.
Beside each run stand the computer's load just before it, and what a clip took of a core: in the
workers, and in the program that gives the clips out and writes. Where other programs have the
cores, clips a second tell little; what a clip takes of a core tells what more workers cost.
"""

import argparse
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
import soundfile
from sqlmodel import select

from dictate.hearing import open_engine
from dictate.notes.hearing_clips import hear_clips
from dictate.notes.many_machines import cluster, hear_on
from dictate.notes.pipeline import run_batch
from dictate.notes.taking_in import Where
from dictate.settings import Settings
from dictate.sound import read_sound
from dictate.store.database import open_database
from dictate.store.tables import Clip, Entry, Note

AUDIO = Path(__file__).parents[2] / "demo_audio"
Records = list[tuple[Any, ...]]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--clips", type=int, default=500)
    parser.add_argument("--workers", type=int, nargs="*", default=[1, 2, 4])
    parser.add_argument("--alone", type=int, default=100, help="Clips also heard in this process.")
    parser.add_argument("--model", type=Path)
    asked = parser.parse_args()
    opener = partial(_engine, asked.model)
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        os.environ["DICTATE_HOME"] = folder
        files = _copies(home / "clips", asked.clips)
        _taken_in(home / "few", files[: asked.alone])
        expected, seconds, _, _ = _heard(home / "few", opener, hear_clips)
        print(f"this process, {asked.alone} clips: {asked.alone / seconds:.2f} clips a second, "
              f"{seconds / asked.alone:.3f} s a clip", flush=True)  # fmt: skip
        _taken_in(home / "all", files)
        rates: dict[int, float] = {}
        first: Records = []
        for workers in asked.workers:
            own = home / f"workers{workers}"
            _copy_of(home / "all", own)
            with cluster(workers=workers) as client:
                began = time.monotonic()
                client.run(_load, opener)
                loading = time.monotonic() - began
                load, before = os.getloadavg()[0], _core_seconds(client)
                found, seconds, here, reading = _heard(own, opener, hear_on(client))
                there = _core_seconds(client) - before
            first = first or found
            same = found == first and _of(found, files[: asked.alone]) == expected
            rates[workers] = len(files) / seconds
            print(f"{workers} workers, {len(files)} clips: {rates[workers]:.2f} clips a second, "
                  f"{rates[workers] / rates[asked.workers[0]]:.2f} times {asked.workers[0]} workers; "
                  f"a clip took {there / len(files):.3f} s of a core in a worker, "
                  f"{here / len(files):.3f} s here; "
                  f"load before {load:.2f}; loading {loading:.1f} s, reading {reading:.1f} s; "
                  f"{'the same' if same else 'OTHER'} records", flush=True)  # fmt: skip
            if not same:
                sys.exit(1)


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

    with open_database(_settings(home).database_url) as database:
        run_batch(database, _settings(home), files, Where(farm="Alder Farm"), _engine, hear=not_yet)


def _copy_of(home: Path, other: Path) -> None:
    shutil.copytree(home, other, copy_function=os.link, ignore=shutil.ignore_patterns("record.db*"))
    shutil.copyfile(home / "record.db", other / "record.db")


def _heard(
    home: Path, opener: Callable[..., Any], hear: Callable[..., Any]
) -> tuple[Records, float, float, float]:
    """Hear and read what was taken in.

    Gives the records, seconds of hearing, what this process took of a core in them, and seconds of
    all the rest.
    """
    spent, core = [], []

    def timed(*words: Any, **more: Any) -> Any:
        began, before = time.monotonic(), time.process_time()
        heard = hear(*words, **more)
        spent.append(time.monotonic() - began)
        core.append(time.process_time() - before)
        return heard

    with open_database(_settings(home).database_url) as database:
        began = time.monotonic()
        run_batch(database, _settings(home), [], None, opener, hear=timed)
        rest = time.monotonic() - began - spent[0]
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
    return records, spent[0], core[0], rest


def _of(records: Records, files: list[Path]) -> Records:
    names = {path.name for path in files}
    return [record for record in records if record[0] in names]


def _core_seconds(client: Any) -> float:
    """Seconds of a core that the workers have taken so far."""
    return sum(client.run(time.process_time).values())


def _load(opener: Callable[..., Any]) -> None:
    opener(None)


def _engine(model: Path | None, roster: Any) -> Any:
    return open_engine(model, roster=roster)


if __name__ == "__main__":
    main()
