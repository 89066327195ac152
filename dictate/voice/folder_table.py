"""The `transcripts.tsv` of a person's own folder, as people write it.

Measuring wants the table exact (`dictate.measuring.tables`).  Here a table that a spreadsheet or an
editor made will do: with or without a heading, any usual encoding, tabs, commas or semicolons, or
a space after the name, names with or without their ending.
"""

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from dictate.errors import SoundError
from dictate.measuring.tables import TABLE, Utterance

_HEADINGS = {
    "utterance": "utterance file filename file_name path audio wav sound name id recording",
    "text": "text transcript transcription sentence words said",
    "speaker": "speaker who client_id",
    "split": "split",
}
_MEANS = {heading: column for column, names in _HEADINGS.items() for heading in names.split()}
_PLAIN = ("utterance", "text")
"""The columns of a table without a heading."""
_DELIMITERS = "\t;,"


@dataclass(frozen=True, slots=True, kw_only=True)
class FolderTable:
    """What a folder's table names."""

    rows: tuple[Utterance, ...]
    missing: tuple[str, ...]
    """Names for which there is no file."""


def read_folder_table(folder: Path) -> FolderTable:
    """Read a folder's table.

    Raises:
        SoundError: no table, no column of names or of words, or not one of the files is there.
    """
    table = folder / TABLE
    if not table.is_file():
        raise SoundError(
            "no such table", where=str(table), remedy="docs/how-to/your-voice.md shows one"
        )
    lines = list(_cells(_text(table.read_bytes())))
    names = _columns(lines, table)
    files = {
        key: path
        for path in sorted(folder.iterdir())
        if path.name != TABLE and path.is_file()
        for key in (path.stem.casefold(), path.name.casefold())
    }
    rows: list[Utterance] = []
    missing: list[str] = []
    for cells in lines:
        row = dict(zip(names, cells, strict=False))
        name = row.get("utterance", "")
        path = files.get(name.casefold()) or _elsewhere(folder, name)
        if path is None:
            missing.append(name)
            continue
        rows.append(
            Utterance(
                path=path, words=tuple(row.get("text", "").split()),
                speaker=row.get("speaker", ""), split=row.get("split", ""),
            )
        )  # fmt: skip
    if missing and not rows:
        raise SoundError(
            f"none of the {len(missing)} files is there, such as {missing[0]}",
            where=str(folder),
            remedy="Put the sound beside the table",
        )
    return FolderTable(rows=tuple(rows), missing=tuple(missing))


def _text(content: bytes) -> str:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", "replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", "replace")


def _cells(text: str) -> Iterator[list[str]]:
    """Each line's cells; a line cut by no delimiter is a name, a space and words."""
    lines = [line for line in text.splitlines() if line.strip()]
    first = lines[0] if lines else ""
    delimiter = next((one for one in _DELIMITERS if one in first), "")
    if not delimiter:
        yield from (line.split(None, 1) for line in lines)
        return
    whole = io.StringIO("\n".join(lines))
    quoted = csv.reader(whole, delimiter=delimiter)
    plain = csv.reader(whole, delimiter=delimiter, quoting=csv.QUOTE_NONE)
    for cells in plain if delimiter == "\t" else quoted:
        yield [cell.strip().strip('"').strip() for cell in cells]


def _columns(lines: list[list[str]], table: Path) -> Sequence[str]:
    """What each column is; takes a heading off the lines."""
    first = [_MEANS.get(cell.casefold(), cell.casefold()) for cell in lines[0]] if lines else []
    if {"utterance", "text"} <= set(first):
        del lines[0]
        return first
    if len(first) < len(_PLAIN) or set(first) & set(_PLAIN):
        raise SoundError(
            "lacks a column of file names or of words", where=str(table),
            remedy="Give one line a sound file: its name, a tab, the words",
        )  # fmt: skip
    return _PLAIN


def _elsewhere(folder: Path, name: str) -> Path | None:
    """A file named with its folder."""
    path = folder / name.replace("\\", "/")
    return path if name and path.is_file() else None
