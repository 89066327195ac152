"""Looking the program over: each check is a small function that says what is, and what to do."""

import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import sqlalchemy as sa
from sqlmodel import select

from dictate.errors import DictateError
from dictate.hearing import open_engine
from dictate.notes.unfinished import unfinished
from dictate.settings import Settings, load_settings
from dictate.store.clips import forgotten_clips, kept_path
from dictate.store.database import open_database
from dictate.store.integrity import changed_outside
from dictate.store.tables import Clip
from dictate.texts import ngettext, noted
from dictate.written import hash_file
from grammar import vocabulary

_SPACE_WANTED = 500_000_000
"""Bytes; a working day of clips and the database's own need for room."""
_WORDS_SHOWN = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagnosis:
    """What one check found."""

    part: str
    ok: bool
    what: str
    remedy: str = ""


def examine(home: Path | None = None) -> list[Diagnosis]:
    """Run every check over a home folder; one that fails never keeps the others from running."""
    try:
        settings = load_settings(home)
    except DictateError as error:
        return [Diagnosis(part=noted("settings"), ok=False, what=error.what, remedy=error.remedy)]
    checks: tuple[Callable[[Settings], Iterator[Diagnosis]], ...] = (
        _home,
        _disk,
        _database,
        _sounds,
        _recordings,
        _model,
    )
    return [diagnosis for check in checks for diagnosis in _run(check, settings)]


def _run(
    check: Callable[[Settings], Iterator[Diagnosis]], settings: Settings
) -> Iterator[Diagnosis]:
    try:
        yield from check(settings)
    except DictateError as error:
        part = check.__name__.strip("_")
        yield Diagnosis(part=part, ok=False, what=error.line, remedy=error.remedy)


def _home(settings: Settings) -> Iterator[Diagnosis]:
    probe = settings.home / ".probe"
    try:
        settings.home.mkdir(parents=True, exist_ok=True)
        probe.write_bytes(b"x")
        probe.unlink()
    except OSError as error:
        yield Diagnosis(
            part=noted("home"),
            ok=False,
            what=f"{settings.home} cannot be written: {error.strerror}",
            remedy="Make the folder writable, or set DICTATE_HOME to another one",
        )
    else:
        yield Diagnosis(part=noted("home"), ok=True, what=str(settings.home))


def _disk(settings: Settings) -> Iterator[Diagnosis]:
    there = next(folder for folder in (settings.home, *settings.home.parents) if folder.exists())
    free = shutil.disk_usage(there).free
    ok = free >= _SPACE_WANTED
    remedy = "" if ok else f"Free some space: {_SPACE_WANTED // 10**6} MB should be free"
    yield Diagnosis(part=noted("disk"), ok=ok, what=f"{free / 10**9:.1f} GB free", remedy=remedy)


def _database(settings: Settings) -> Iterator[Diagnosis]:
    with open_database(settings.database_url) as database, database.reading() as session:
        where = database.url.render_as_string()
        if database.url.get_backend_name() == "sqlite":
            faults = list(session.scalars(sa.text("PRAGMA integrity_check")))
            faults += session.scalars(
                sa.text("SELECT 'broken link in ' || \"table\" FROM pragma_foreign_key_check")
            ).all()
            if faults != ["ok"]:
                yield Diagnosis(
                    part=noted("database"),
                    ok=False,
                    what=f"{where}: {'; '.join(faults[:5])}",
                    remedy="Copy the file, then restore the newest backup",
                )
                return
        for what in changed_outside(session):
            yield Diagnosis(
                part=noted("record"),
                ok=False,
                what=f"changed outside the program: {what}",
                remedy="Compare with a backup (`dictate restore --check`); put one back if it is right",
            )
        clips = session.scalar(sa.text("SELECT count(*) FROM clip"))
        entries = session.scalar(sa.text("SELECT count(*) FROM entry WHERE state = 'waiting'"))
        waiting = ngettext("%(num)s entry waits", "%(num)s entries wait", entries)
        kept = ngettext("%(num)s clip", "%(num)s clips", clips)
    yield Diagnosis(part=noted("database"), ok=True, what=f"{where}: {kept}, {waiting}")


def _sounds(settings: Settings) -> Iterator[Diagnosis]:
    with open_database(settings.database_url) as database, database.reading() as session:
        known = session.exec(select(Clip).order_by(Clip.file_name)).all()
        gone = forgotten_clips(session)
    # A row of a list of past treatments never had sound, and its clip has no suffix.
    clips = [clip for clip in known if clip.id not in gone and clip.suffix]
    missing = [clip for clip in clips if not kept_path(settings, clip).exists()]
    altered = [
        clip
        for clip in clips
        if clip not in missing and hash_file(kept_path(settings, clip)) != clip.sha256
    ]
    for word, wrong in (("missing", missing), ("altered", altered)):
        if wrong:
            names = ", ".join(clip.file_name for clip in wrong[:5])
            yield Diagnosis(
                part=noted("sound"),
                ok=False,
                what=f"{len(wrong)} kept clips are {word}: {names}",
                remedy="Take the original files in again; what was confirmed from them is not touched",
            )
    if not missing and not altered:
        yield Diagnosis(
            part=noted("sound"),
            ok=True,
            what=f"{len(clips)} kept clips are whole{_forgotten(gone)}",
        )


def _recordings(settings: Settings) -> Iterator[Diagnosis]:
    """Long recordings that were begun and wait to be gone on with: work left, not damage."""
    for one in unfinished(settings):
        yield Diagnosis(part=noted("recording"), ok=True, what=one.line)


def _forgotten(gone: set[int]) -> str:
    return f"; the sound of {len(gone)} more was forgotten on purpose" if gone else ""


def _model(settings: Settings) -> Iterator[Diagnosis]:
    engine = open_engine(settings.model)
    about = engine.describe()
    missing = engine.missing_words(vocabulary())
    where = f"{about.engine} {about.version}, {about.model}{_at(about.path)}"
    if missing:
        shown = ", ".join(missing[:_WORDS_SHOWN])
        yield Diagnosis(
            part=noted("model"),
            ok=False,
            what=f"{where} can never hear {len(missing)} words of the trade: {shown} …",
            remedy="Use the bundled model (take `model` out of settings.toml), or build a graph for this one",
        )
    else:
        yield Diagnosis(
            part=noted("model"), ok=True, what=f"{where} knows every word of the lexicon"
        )


def _at(path: Path | None) -> str:
    return f" in {path}" if path else ""
