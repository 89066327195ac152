"""A folder of sound with a table of what was said, as measuring and calibrating read it.

`transcripts.tsv` has a heading line and tab-separated columns: `utterance` (file name without its
ending, or with it) and `text`; optional `split`, `speaker`, `condition`.
"""

import csv
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from dictate.errors import SoundError

TABLE = "transcripts.tsv"
_ENDINGS = (".ogg", ".opus", ".flac", ".wav", ".mp3")


@dataclass(frozen=True, slots=True, kw_only=True)
class Utterance:
    """One sound file and its words."""

    path: Path
    words: tuple[str, ...]
    split: str = ""
    speaker: str = ""
    condition: str = ""


def read_table(folder: Path) -> list[Utterance]:
    """Read a folder's table.

    Raises:
        SoundError: no table, columns missing, or files named that are not there.
    """
    table = folder / TABLE
    if not table.exists():
        raise SoundError(
            "no such table", where=str(table), remedy="See docs/how-to/measure-a-model.md"
        )
    with table.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE))
    lacking = {"utterance", "text"} - set(rows[0] if rows else ())
    if lacking:
        raise SoundError(
            f"lacks the columns {', '.join(sorted(lacking))}",
            where=str(table),
            remedy="Give one line a sound file, tab-separated, under a heading line",
        )
    present = {path.name: path for path in folder.iterdir()}
    found = [_find(present, row["utterance"]) for row in rows]
    missing = [row["utterance"] for row, path in zip(rows, found, strict=True) if path is None]
    if missing:
        raise SoundError(
            f"{len(missing)} files are not there, such as {missing[0]}",
            where=str(folder),
            remedy="Put the sound beside the table",
        )
    return [
        Utterance(
            path=path,
            words=tuple(row["text"].lower().split()),
            split=row.get("split") or "",
            speaker=row.get("speaker") or "",
            condition=row.get("condition") or "",
        )
        for row, path in zip(rows, found, strict=True)
        if path is not None
    ]


def _find(present: dict[str, Path], name: str) -> Path | None:
    names: Iterable[str] = (name, *(name + ending for ending in _ENDINGS))
    return next((present[name] for name in names if name in present), None)


def choose(
    rows: Sequence[Utterance], *, split: str | None = None, limit: int | None = None
) -> tuple[list[Utterance], list[Utterance]]:
    """Return the rows to measure, and those that may teach a language model.

    With a split these are the other rows of the table whose words are not measured anyway; without
    one there are none.
    """
    measured = [row for row in rows if split is None or row.split == split]
    others = [row for row in rows if split is not None and row.split != split]
    if limit is not None and limit < len(measured):
        step = len(measured) / limit
        measured = [measured[int(index * step)] for index in range(limit)]
    return measured, others
