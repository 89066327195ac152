"""Forgetting sound: the kept clips of a trimmer go, the record that came of them stays.

A clip's sound is forgotten with one line in the history. Clips that were not heard yet are never
forgotten: their notes would be lost with them.
"""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from sqlmodel import Session, col, select

from dictate.errors import StoreError
from dictate.notes.recordings import kept_recordings
from dictate.settings import Settings
from dictate.store.database import Database
from dictate.store.history import new_act
from dictate.store.queries import FORGOTTEN, forgotten_clips
from dictate.store.sounds import kept_path
from dictate.store.tables import Clip, Entry, EntryState, Event, Note, Trimmer, Visit

__all__ = ["Forgotten", "forget_by_settings", "forget_sound"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Forgotten:
    """What was dropped, or would be."""

    clips: int = 0
    recordings: int = 0
    """Whole recordings, which only `keep = "all"` keeps."""
    bytes: int = 0
    waiting: int = 0
    """Clips left alone because an entry of theirs waits for review."""
    unheard: int = 0
    """Clips left alone because they were not heard yet."""


def forget_sound(
    database: Database,
    settings: Settings,
    *,
    who: str,
    before: dt.date | None = None,
    also_waiting: bool = False,
    dry_run: bool = False,
    again: bool = True,
) -> Forgotten:
    """Drop the kept sound of this trimmer's visits; words, entries and record stay as they are.

    An interrupted run leaves no sound that the history calls kept and nothing that cannot be
    dropped by running it again.

    Args:
        database: An open database.
        settings: Whose sound, and where it is kept.
        who: Who wants it forgotten, for the history.
        before: Only of visits before this day; None for all.
        also_waiting: Also of notes that wait for review, which then cannot be listened to.
        dry_run: Only tell what would be dropped.
        again: Look also for files that an interrupted run left behind.

    Raises:
        StoreError: a file cannot be removed.
    """
    act = new_act()
    clips = size = waiting = unheard = 0
    for clip, path in _kept(database, settings, before, again=again):
        with database.writing() as session:
            states = _states(session, clip)
            if states is None:
                unheard += 1
                continue
            if EntryState.WAITING in states and not also_waiting:
                waiting += 1
                continue
            clips, size = clips + 1, size + path.stat().st_size
            if not dry_run:
                session.add(_event(clip, who=who, act=act))
        if not dry_run:  # the history first: a file without its line would look like damage
            _remove(path)
    whole = list(kept_recordings(settings, before=before))
    size += sum(path.stat().st_size for path in whole)
    for path in whole if not dry_run else ():
        _remove(path)
    return Forgotten(
        clips=clips, recordings=len(whole), bytes=size, waiting=waiting, unheard=unheard
    )


def forget_by_settings(database: Database, settings: Settings, *, today: dt.date) -> Forgotten:
    """Drop what the settings say is not kept: all that was heard, or all that is too old."""
    if settings.keep == "none":
        return forget_sound(
            database, settings, who="settings: keep", also_waiting=True, again=False
        )
    if settings.keep_days is None:
        return Forgotten()
    before = today - dt.timedelta(days=settings.keep_days)
    return forget_sound(database, settings, who="settings: keep_days", before=before, again=False)


def _kept(
    database: Database, settings: Settings, before: dt.date | None, *, again: bool
) -> Iterator[tuple[Clip, Path]]:
    query = (
        select(Clip)
        .join(Visit, col(Visit.id) == Clip.visit_id)
        .join(Trimmer)
        .where(Trimmer.name == settings.trimmer)
        .order_by(col(Clip.id))
    )
    if before is not None:
        query = query.where(col(Visit.date) < before)
    with database.reading() as session:
        gone = set() if again else forgotten_clips(session)
        clips = [clip for clip in session.exec(query).all() if clip.id not in gone]
    for clip in clips:
        path = kept_path(settings, clip)
        if path.exists():
            yield clip, path


def _states(session: Session, clip: Clip) -> set[str] | None:
    """States of the clip's entries; None while its note was not heard or not read."""
    note = session.exec(select(Note).where(Note.clip_id == clip.id)).first()
    states = note and set(session.exec(select(Entry.state).where(Entry.note_id == note.id)).all())
    return states or None


def _event(clip: Clip, *, who: str, act: str) -> Event:
    about = {"sha256": clip.sha256, "file_name": clip.file_name}
    return Event(
        who=who, kind=FORGOTTEN, subject="clip", subject_id=clip.id or 0, act=act, before=about
    )


def _remove(path: Path) -> None:
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise StoreError(
            f"the sound cannot be removed: {error.strerror or error}",
            where=str(path),
            remedy="Make the folder writable, and run the same command again",
        ) from error
