"""Taking sound files in: each is checked, kept by its hash, and becomes a clip of a visit."""

import datetime as dt
import os
import shutil
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from sqlalchemy.exc import IntegrityError
from sqlmodel import Session

from dictate.errors import DictateError, NotFoundError, SoundError, StoreError
from dictate.large_work import Watcher
from dictate.record.rows import natural
from dictate.settings import Settings, home_folder
from dictate.sound import RecordedAt, Sound, read_sound, recorded_at
from dictate.store.clips import clip_by_hash, forgotten_on, kept_path
from dictate.store.database import Database
from dictate.store.tables import Clip, Farm, Visit
from dictate.store.visits import visit_for
from dictate.written import hash_file, make_folder, put_whole

_SOUND_SUFFIXES = frozenset(
    ".3gp .aac .aif .aiff .amr .au .caf .flac .m4a .mka .mp3 .mp4 .oga .ogg .opus .wav .webm .wma".split()
)
"""Looked for in folders; a file that is named itself is always tried."""


class Fate(StrEnum):
    """What became of a file."""

    NEW = "new"
    KNOWN = "known"
    """The same bytes were taken in before; nothing was added."""
    REFUSED = "refused"


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenIn:
    """The outcome for one file."""

    path: Path
    fate: Fate
    message: str = ""
    """Why it was refused, or where it already is."""
    clip_id: int | None = None
    place: str = ""
    """The farm and day of the visit that a known file is at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Where:
    """The visit that the files belong to."""

    farm: str
    date: dt.date | None = None
    """None: each file's own day."""
    whole_herd: bool | None = None
    """True: whole herd; False: part of it; None: leave as it is."""


def find_files(paths: Iterable[Path]) -> list[Path]:
    """Files to take in, folders opened up, each once, in the order of their names.

    In folders only files with the suffix of a sound format count. A path that is not there stays in
    the list, so that taking it in says so.

    Raises:
        SoundError: a folder is the whole disk that the program's own folder is on.
    """
    found: dict[Path, None] = {}
    for path in paths:
        inside = _inside(path) if path.is_dir() else (path,)
        found.update(dict.fromkeys(inside))
    return list(found)


def take_in(
    database: Database, settings: Settings, files: Sequence[Path], where: Where, *, watcher: Watcher
) -> list[TakenIn]:
    """Take files in, each committed by itself; a bad one never stops the rest.

    Running it again on the same files adds nothing.

    Raises:
        StoreError: the database or the sounds folder cannot be written.
    """
    outcomes = []
    watcher.stage("taking in", len(files))
    for path in files:
        outcome = _take_one(database, settings, path, where)
        if outcome.fate == Fate.REFUSED:
            watcher.fault(outcome.message)
        outcomes.append(outcome)
        watcher.step()
    return outcomes


def _inside(folder: Path) -> Iterator[Path]:
    whole = folder.resolve()
    if whole == whole.parent and home_folder().resolve().is_relative_to(whole):
        raise SoundError(
            "is the whole disk", where=str(folder), remedy="Name the folder of the recordings"
        )
    found = []
    for top, below, names in os.walk(folder):
        below[:] = [name for name in below if not name.startswith(".")]
        paths = (Path(top, name) for name in names if not name.startswith("."))
        found += [path for path in paths if path.suffix.lower() in _SOUND_SUFFIXES]
    yield from sorted(found, key=lambda path: natural(str(path)))


def _take_one(database: Database, settings: Settings, path: Path, where: Where) -> TakenIn:
    try:
        sound = read_sound(path)
        known = _known(database, settings, sound)
        if known:
            return known
        moment = recorded_at(path)
        _keep(settings, sound)
        return _add_clip(database, settings, sound, moment, where)
    except StoreError:
        raise
    except DictateError as error:
        return TakenIn(path=path, fate=Fate.REFUSED, message=error.line)


def _known(database: Database, settings: Settings, sound: Sound) -> TakenIn | None:
    with database.reading() as session:
        clip = clip_by_hash(session, sound.sha256)
        if clip is None:
            return None
        place = _place(session, clip)
        message = f"already taken in as {clip.file_name} ({place})"
        forgotten = forgotten_on(session, clip.id)
    if forgotten:  # on purpose: taking it in again does not bring it back
        message = f"{message}; its sound was forgotten on {forgotten}"
        place = f"{place}; sound forgotten on {forgotten}"
        return TakenIn(
            path=_path(sound), fate=Fate.KNOWN, message=message, clip_id=clip.id, place=place
        )
    if not kept_path(settings, clip).exists():  # somebody cleared the folder: put it back
        _keep(settings, sound, suffix=clip.suffix)
    return TakenIn(
        path=_path(sound), fate=Fate.KNOWN, message=message, clip_id=clip.id, place=place
    )


def _place(session: Session, clip: Clip) -> str:
    visit = session.get_one(Visit, clip.visit_id)
    farm = session.get_one(Farm, visit.farm_id)
    return f"{farm.name}, {visit.date}"


def _add_clip(
    database: Database, settings: Settings, sound: Sound, moment: RecordedAt, where: Where
) -> TakenIn:
    path = _path(sound)
    with database.writing() as session:
        visit = visit_for(
            session,
            farm=where.farm,
            trimmer=settings.trimmer,
            date=where.date or moment.moment.date(),
        )
        if where.whole_herd is not None:
            visit.whole_herd = where.whole_herd
        clip = Clip(
            sha256=sound.sha256,
            visit_id=visit.id,
            file_name=path.name,
            suffix=path.suffix.lower(),
            seconds=sound.seconds,
            source_rate=sound.source_rate,
            channels=sound.channels,
            recorded_at=_usable_time(moment, where),
            recorded_from=moment.source,
        )
        try:
            with session.begin_nested():
                session.add(clip)
        except IntegrityError:  # another program took it in a moment ago
            return TakenIn(path=path, fate=Fate.KNOWN, message="already taken in")
        return TakenIn(path=path, fate=Fate.NEW, clip_id=clip.id)


def _usable_time(moment: RecordedAt, where: Where) -> dt.datetime | None:
    """The time to order by; None leaves it to the names.

    With the day given, a file's own time says little: copying a folder sets it anew in any order.
    """
    if not moment.has_time or (where.date and moment.source == "file time"):
        return None
    return moment.moment


def _keep(settings: Settings, sound: Sound, *, suffix: str | None = None) -> None:
    """Copy the file into the sounds folder under its hash; complete or not at all."""
    path = _path(sound)
    suffix = path.suffix.lower() if suffix is None else suffix
    target = settings.sounds / sound.sha256[:2] / f"{sound.sha256}{suffix}"
    if target.exists():
        return
    try:
        make_folder(target.parent)
        with (
            path.open("rb") as source,
            tempfile.NamedTemporaryFile(dir=target.parent, prefix=".part-", delete=False) as copy,
        ):
            shutil.copyfileobj(source, copy)
            copy.flush()
            os.fsync(copy.fileno())
        _check_hash(Path(copy.name), sound)
        put_whole(Path(copy.name), target)  # before the record speaks of it
    except OSError as error:
        raise StoreError(
            f"the sound cannot be kept: {error.strerror or error}",
            where=str(settings.sounds),
            remedy="Free some space or make the folder writable, and run the same command again",
        ) from error


def _check_hash(copy: Path, sound: Sound) -> None:
    if hash_file(copy) != sound.sha256:
        copy.unlink()
        raise SoundError(
            "changed while it was read",
            where=str(sound.path),
            remedy="Take it in again once it is complete",
        )


def _path(sound: Sound) -> Path:
    if sound.path is None:
        raise NotFoundError("this sound has no file")
    return sound.path
