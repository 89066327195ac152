"""Clips a second with one process and with Dask workers, and whether the records are the same.

    python tests/bench/workers.py [--clips 500] [--workers 1 2 4] [--model DIR]

The clips are those of `demo_audio`, each made another file by a short silence of its own, so that
every copy has a hash of its own and is heard again. Times are of hearing alone, workers warm.
"""

import argparse
import tempfile
import time
from functools import partial
from pathlib import Path

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
from dictate.store.tables import Clip, Note

AUDIO = Path(__file__).parents[2] / "demo_audio"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--clips", type=int, default=500)
    parser.add_argument("--workers", type=int, nargs="*", default=[1, 2, 4])
    parser.add_argument("--model", type=Path)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        files = _copies(home / "clips", asked.clips)
        expected, seconds = _timed(home / "alone", files, asked.model, hear_clips)
        print(f"in this process: {len(files) / seconds:.2f} clips a second", flush=True)
        for workers in asked.workers:
            with cluster(workers=workers) as client:
                _timed(home / f"warm{workers}", files[:workers], asked.model, hear_on(client))
                found, seconds = _timed(home / f"w{workers}", files, asked.model, hear_on(client))
            same = "same" if found == expected else "OTHER"
            print(f"{workers} workers: {len(files) / seconds:.2f} clips a second, {same} words", flush=True)


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


def _timed(home: Path, files: list[Path], model: Path | None, hear) -> tuple[list, float]:
    settings = Settings(home=home, trimmer="Robin Field")
    spent = []

    def timed(*words, **more):
        began = time.monotonic()
        heard = hear(*words, **more)
        spent.append(time.monotonic() - began)
        return heard

    with open_database(settings.database_url) as database:
        run_batch(database, settings, files, Where(farm="Alder Farm"), partial(_engine, model), hear=timed)
        with database.reading() as session:
            query = select(Clip.file_name, Note.words).join(Note).order_by(Clip.file_name)
            words = [(name, [word["text"] for word in said]) for name, said in session.exec(query)]
    return words, spent[0]


def _engine(model: Path | None, roster):
    return open_engine(model, roster=roster)


if __name__ == "__main__":
    main()
