"""Corpora of speech: one folder each, a `transcripts.tsv` beside the recordings.

The table has the columns utterance, speaker, split, seconds, text; the recording of an utterance
is `<utterance>.ogg`. Splits: `train`, `dev` (speakers never trained on), `noise` (no speech).
"""

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soundfile

from dictate.training import CorpusError

RATE = 16000
TABLE = "transcripts.tsv"
COLUMNS = ("utterance", "speaker", "split", "seconds", "text")
_LONGEST_SECONDS = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Utterance:
    """One recording and what was said in it."""

    corpus: str
    name: str
    speaker: str
    """Unique within the corpus."""
    split: str
    seconds: float
    text: str
    """Lower-case words; empty for noise."""
    path: Path


def read_corpus(folder: Path, *, longest: float = _LONGEST_SECONDS) -> Iterator[Utterance]:
    """Yield the utterances of one corpus, leaving out those longer than `longest` seconds.

    Raises CorpusError when the table is missing or malformed.
    """
    table = folder / TABLE
    if not table.is_file():
        raise CorpusError(f"no {TABLE}", where=str(folder), remedy="Give a corpus folder")
    with table.open(encoding="utf-8", newline="") as lines:
        rows = csv.DictReader(lines, delimiter="\t", quoting=csv.QUOTE_NONE)
        if tuple(rows.fieldnames or ()) != COLUMNS:
            raise CorpusError(f"columns are not {COLUMNS}", where=str(table))
        for row in rows:
            path = folder / f"{row['utterance']}.ogg"
            if float(row["seconds"]) <= longest and path.is_file():
                yield Utterance(
                    corpus=folder.name,
                    name=row["utterance"],
                    speaker=row["speaker"],
                    split=row["split"],
                    seconds=float(row["seconds"]),
                    text=row["text"],
                    path=path,
                )


def append_to_corpus(folder: Path, one: Utterance) -> None:
    """Add a row to the table for a recording that already lies in `folder`."""
    table = folder / TABLE
    if not table.is_file():
        table.write_text("\t".join(COLUMNS) + "\n", encoding="utf-8")
    with table.open("a", encoding="utf-8") as lines:
        lines.write(f"{one.name}\t{one.speaker}\t{one.split}\t{one.seconds:.2f}\t{one.text}\n")


def read_audio(path: Path) -> np.ndarray:
    """Return int16 mono samples at 16 kHz; raise CorpusError for anything else."""
    samples, rate = soundfile.read(path, dtype="int16", always_2d=True)
    if rate != RATE or samples.shape[1] != 1:
        raise CorpusError(
            f"{rate} Hz, {samples.shape[1]} channels; want 16 kHz mono", where=str(path)
        )
    return samples[:, 0]
