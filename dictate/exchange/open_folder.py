"""Everything in a folder that opens without this program: a page, tables as CSV, and the sound."""

import html
import os
import re
import shutil
import tempfile
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path

from sqlmodel import Session, SQLModel, col, select

from dictate.errors import StoreError
from dictate.exchange import csv_files
from dictate.exchange.values import column_of
from dictate.settings import Settings
from dictate.store.clips import (
    clips_in_order,
    entries_of_note,
    forgotten_on,
    heard_text,
    kept_path,
    note_of_clip,
)
from dictate.store.tables import Clip, Entry, Farm, Visit
from dictate.written import write_whole

_STYLE = (
    "body{font:1rem/1.5 sans-serif;max-width:60rem;margin:auto;padding:1rem}"
    "article{border-top:1px solid #999;padding:.5rem 0}audio{width:100%}.heard{color:#444}"
)
_NOTICE = (
    "Findings and actions as said at the chute. No veterinary advice: the herd's vet, product labels "
    "and local law decide. Only entries marked “confirmed” were checked by a person."
)


def write_open_folder(session: Session, settings: Settings, folder: Path) -> dict[str, int]:
    """Write every table, every kept sound under its own name, and `index.html` that plays them.

    Returns:
        Rows of each table, and `sounds`.

    Raises:
        StoreError: the folder is not empty, or cannot be written.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if any(folder.iterdir()):
            raise StoreError("is not empty", where=str(folder), remedy="Name an empty folder")
        with tempfile.TemporaryDirectory(dir=folder, prefix=".", suffix=".part") as name:
            part = Path(name)
            counts = _tables(session, part / "tables")
            places = dict(_sounds(session, settings, part))
            for made in part.iterdir():  # all of it, or nothing
                made.replace(folder / made.name)
        parts = "".join(_visits(session, places))
        write_whole(folder / "index.html", _page("Spoken notes and herd record", parts))
    except OSError as error:
        raise StoreError(
            f"cannot be written: {error.strerror}", where=str(folder), remedy="Name another folder"
        ) from error
    return counts | {"sounds": len(places)}


def _tables(session: Session, folder: Path) -> dict[str, int]:
    folder.mkdir()
    counts = {}
    for table in SQLModel.metadata.sorted_tables:
        columns = [column_of(column) for column in table.columns]
        rows = session.execute(
            table.select().order_by(table.c.id).execution_options(yield_per=5_000)
        )
        names = [column.name for column in columns]
        counts[table.name] = csv_files.write_table(
            folder / f"{table.name}.csv", columns, names, rows
        )
    return counts


def _sounds(session: Session, settings: Settings, folder: Path) -> Iterator[tuple[int, str]]:
    """Yield clip id and path of its copy in the folder; a sound that is gone is left out."""
    query = select(Clip, Visit, Farm).join(Visit, col(Visit.id) == Clip.visit_id).join(Farm)
    for clip, visit, farm in session.exec(query.order_by(col(Clip.id))):
        source = kept_path(settings, clip)
        if not source.exists():
            continue
        place = Path(
            "sounds", _plain(f"{visit.date} {farm.name}"), f"{clip.id} {_plain(clip.file_name)}"
        )
        (folder / place).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(source, folder / place)
        if clip.recorded_at:
            os.utime(folder / place, (clip.recorded_at.timestamp(),) * 2)
        yield clip.id, place.as_posix()


def _plain(name: str) -> str:
    """A name that every file system takes, and that cannot lead out of its folder."""
    return re.sub(r"[^\w .()-]", "_", name).strip(" .")[:100] or "_"


def _visits(session: Session, places: dict[int, str]) -> Iterator[str]:
    query = select(Visit, Farm).join(Farm).order_by(col(Visit.date).desc(), Farm.name)
    for visit, farm in session.exec(query).all():
        yield f"<h2>{visit.date} {html.escape(farm.name)}</h2>"
        for clip in clips_in_order(session, visit.id):
            yield _clip(session, clip, places.get(clip.id))


def _clip(session: Session, clip: Clip, place: str | None) -> str:
    note = note_of_clip(session, clip.id)
    lines = [f"<h3>{html.escape(clip.file_name)}</h3>"]
    if place:
        lines.append(f'<audio controls preload="none" src="{html.escape(place)}"></audio>')
    elif forgotten := forgotten_on(session, clip.id):
        lines.append(f"<p>Its sound was forgotten on {forgotten}.</p>")
    if note is not None:
        lines.append(f'<p class="heard">Heard: {html.escape(heard_text(note)) or "nothing"}</p>')
        lines += [_entry(entry) for entry in entries_of_note(session, note.id)]
    return f"<article>{''.join(lines)}</article>"


def _entry(entry: Entry) -> str:
    read = entry.values
    values = read.model_dump(mode="json")
    said = values["findings"] + values["actions"] + values["follow_ups"]
    lines = [
        ", ".join(f"{name} {value}" for name, value in one.items() if _says(value)) for one in said
    ]
    lines += [f"remark: {read.remark_to_tell}"] if read.remark_to_tell else []
    items = "".join(f"<li>{html.escape(line)}</li>" for line, _ in groupby(lines))
    animal = html.escape(values["animal"] or "no animal")
    return f"<p><b>{animal}</b> ({html.escape(entry.state)})</p><ul>{items}</ul>"


def _says(value: object) -> bool:
    return value is not None and value not in ("", [], False)


def _page(title: str, body: str) -> str:
    return (
        f'<!doctype html><html lang="en"><meta charset="utf-8"><title>{title}</title>'
        f"<style>{_STYLE}</style><h1>{title}</h1><p>{_NOTICE}</p>{body}</html>\n"
    )
