"""Forgetting sound: the kept clips of a trimmer go, the record that came of them stays.

A clip's sound is forgotten with one line in the history. Clips that were not heard yet are never
forgotten: their notes would be lost with them.
"""

import datetime as dt
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from sqlmodel import Session, col, select

from dictate.errors import NotFoundError, StoreError
from dictate.notes.recordings import kept_recordings
from dictate.settings import Settings
from dictate.store.clips import FORGOTTEN, forgotten_clips, kept_path
from dictate.store.database import Database
from dictate.store.history import new_act, write_event
from dictate.store.states import EntryState
from dictate.store.tables import Clip, Entry, Farm, Note, Trimmer, Visit


@dataclass(frozen=True, slots=True, kw_only=True)
class Forgotten:
    """What was dropped, or would be."""

    whose: str = ""
    """The trimmer whose sound it is."""
    visits: tuple[tuple[dt.date, str, int], ...] = ()
    """Day, farm and number of notes of each visit that is covered."""
    clips: int = 0
    recordings: int = 0
    """Whole recordings, which only `keep = "all"` keeps."""
    bytes: int = 0
    waiting: int = 0
    """Clips left alone because an entry of theirs waits for review."""
    unheard: int = 0
    """Clips left alone because they were not heard yet."""
    later: int = 0
    """Clips with sound from `before` on."""
    of_others: int = 0
    """Clips with sound of other trimmers."""


def forget_sound(
    database: Database,
    settings: Settings,
    *,
    who: str,
    whose: str | None = None,
    before: dt.date | None = None,
    also_waiting: bool = False,
    dry_run: bool = False,
    again: bool = True,
) -> Forgotten:
    """Drop the kept sound of one trimmer's visits; words, entries and record stay as they are.

    An interrupted run leaves no sound that the history calls kept and nothing that cannot be
    dropped by running it again.

    Args:
        database: An open database.
        settings: Whose sound, and where it is kept.
        who: Who wants it forgotten, for the history.
        whose: The trimmer who spoke; None: the one of the settings.
        before: Only of visits before this day; None for all.
        also_waiting: Also of notes that wait for review, which then cannot be listened to.
        dry_run: Only tell what would be dropped.
        again: Look also for files that an interrupted run left behind.

    Raises:
        NotFoundError: nobody of that name ever spoke a note.
        StoreError: a file cannot be removed.
    """
    act = new_act()
    name = whose or settings.trimmer
    if whose is not None:
        _check_known(database, whose)
    kept = list(_kept(database, settings, again=again))
    own = [one for one in kept if one.trimmer == name]
    covered = [one for one in own if before is None or one.date < before]
    clips = size = waiting = unheard = 0
    visits: Counter[tuple[dt.date, str]] = Counter()
    for one in covered:
        clip, path = one.clip, one.path
        with database.writing() as session:
            states = _states(session, clip)
            if states is None:
                unheard += 1
                continue
            if EntryState.WAITING in states and not also_waiting:
                waiting += 1
                continue
            clips, size = clips + 1, size + path.stat().st_size
            visits[one.date, one.farm] += 1
            if not dry_run:
                about = {"sha256": clip.sha256, "file_name": clip.file_name}
                write_event(session, clip, kind=FORGOTTEN, who=who, act=act, before=about)
        if not dry_run:  # the history first: a file without its line would look like damage
            _remove(path)
    # Whole recordings are kept in the name of this home's trimmer.
    whole = list(kept_recordings(settings, before=before)) if name == settings.trimmer else []
    size += sum(path.stat().st_size for path in whole)
    for path in whole if not dry_run else ():
        _remove(path)
    return Forgotten(
        whose=name,
        visits=tuple((date, farm, count) for (date, farm), count in sorted(visits.items())),
        clips=clips,
        recordings=len(whole),
        bytes=size,
        waiting=waiting,
        unheard=unheard,
        later=len(own) - len(covered),
        of_others=len(kept) - len(own),
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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kept:
    """A clip whose sound is there, and where it comes from."""

    clip: Clip
    path: Path
    trimmer: str
    farm: str
    date: dt.date


def _kept(database: Database, settings: Settings, *, again: bool) -> Iterator[_Kept]:
    query = (
        select(Clip, col(Trimmer.name), col(Farm.name), col(Visit.date))
        .join(Visit, col(Visit.id) == Clip.visit_id)
        .join(Trimmer, col(Trimmer.id) == Visit.trimmer_id)
        .join(Farm, col(Farm.id) == Visit.farm_id)
        .order_by(col(Clip.id))
    )
    with database.reading() as session:
        gone = set() if again else forgotten_clips(session)
        rows = [row for row in session.exec(query).all() if row[0].id not in gone]
    for clip, trimmer, farm, date in rows:
        path = kept_path(settings, clip)
        if path.exists():
            yield _Kept(clip=clip, path=path, trimmer=trimmer, farm=farm, date=date)


def _check_known(database: Database, whose: str) -> None:
    with database.reading() as session:
        names = session.exec(select(Trimmer.name).order_by(Trimmer.name)).all()
    if whose not in names:
        raise NotFoundError(
            f"nobody called {whose!r} spoke notes here",
            remedy=f"Those who did: {', '.join(names) or 'none yet'}",
        )


def _states(session: Session, clip: Clip) -> set[str] | None:
    """States of the clip's entries; None while its note was not heard or not read."""
    note = session.exec(select(Note).where(Note.clip_id == clip.id)).first()
    states = note and set(session.exec(select(Entry.state).where(Entry.note_id == note.id)).all())
    return states or None


def _remove(path: Path) -> None:
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise StoreError(
            f"the sound cannot be removed: {error.strerror or error}",
            where=str(path),
            remedy="Make the folder writable, and run the same command again",
        ) from error
