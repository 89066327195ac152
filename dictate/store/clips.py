"""The way of a clip to its entries: sound, note, readings, and what became of them."""

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import func
from sqlmodel import Session, col, select

from dictate.errors import NotFoundError
from dictate.record.rows import natural
from dictate.settings import Settings
from dictate.store.tables import Clip, Entry, Event, Note, Reading, Trimmer, Visit
from dictate.texts import gettext

TYPED = "typed"
"""Origin of a reading of what a person typed for one entry."""
LEFT_ASIDE = "left aside as talk"
"""Kind in the history, and reason, of an entry that nobody need look at."""
FORGOTTEN = "sound forgotten"
"""Kind of the history's event about a clip whose sound was dropped on purpose."""
_FORGETTING = (Event.subject == "clip", Event.kind == FORGOTTEN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoken:
    """A clip, and how far it has come."""

    clip: Clip
    note: Note | None = None
    reading: Reading | None = None
    """The newest one of the heard words."""
    entries: tuple[Entry, ...] = ()


def clip_at(session: Session, clip_id: int) -> Clip:
    """A clip by its key.

    Raises:
        NotFoundError: there is none.
    """
    clip = session.get(Clip, clip_id)
    if clip is None:
        raise NotFoundError(gettext("there is no clip %(clip)s", clip=clip_id))
    return clip


def clip_by_hash(session: Session, sha256: str) -> Clip | None:
    return session.exec(select(Clip).where(Clip.sha256 == sha256)).first()


def kept_path(settings: Settings, clip: Clip) -> Path:
    """Where the bytes of a clip are kept: in the home folder, by the hash of their content."""
    return settings.sounds / clip.sha256[:2] / f"{clip.sha256}{clip.suffix}"


def forgotten_on(session: Session, clip_id: int) -> dt.date | None:
    """The day on which the sound of a clip was forgotten; None while it is kept."""
    query = select(Event.at).where(Event.subject_id == clip_id, *_FORGETTING)
    at = session.exec(query.order_by(col(Event.id).desc())).first()
    return at.date() if at else None


def forgotten_clips(session: Session) -> set[int]:
    """Ids of the clips whose sound was forgotten."""
    return set(session.exec(select(Event.subject_id).where(*_FORGETTING)).all())


def unheard_clips(session: Session, *, trimmer: str | None) -> list[Clip]:
    """Clips that were taken in and have no note yet, by visit and in order of time."""
    query = select(Clip).join(Note, isouter=True).where(col(Note.id).is_(None))
    if trimmer is not None:
        query = (
            query.join(Visit, col(Visit.id) == Clip.visit_id)
            .join(Trimmer)
            .where(Trimmer.name == trimmer)
        )
    return sorted(session.exec(query).all(), key=lambda clip: (clip.visit_id, *in_time(clip)))


def clips_in_order(session: Session, visit_id: int) -> list[Clip]:
    """All clips of a visit in order of time, then of their names (`note 2` before `note 10`)."""
    return sorted(session.exec(select(Clip).where(Clip.visit_id == visit_id)).all(), key=in_time)


def clips_between(
    session: Session, visit_id: int, since: dt.time | None, until: dt.time | None
) -> list[int]:
    """Clips of a visit whose time of day is known and lies between, both ends included.

    The time of day is that of this computer's zone, in which the files' own times were read.
    """
    return [
        clip.id
        for clip in clips_in_order(session, visit_id)
        if clip.recorded_at is not None
        and (since or dt.time.min) <= clip.recorded_at.astimezone().time() <= (until or dt.time.max)
    ]


def in_time(clip: Clip) -> tuple[object, ...]:
    """Sort key of a visit's clips: when they were spoken, then their names."""
    moment = clip.recorded_at.timestamp() if clip.recorded_at else 0.0
    return moment, natural(clip.file_name)


def note_of_clip(session: Session, clip_id: int) -> Note | None:
    return session.exec(select(Note).where(Note.clip_id == clip_id)).first()


def note_of_file(session: Session, file_name: str) -> Note | None:
    """The note of a sound file taken in under this name."""
    return session.exec(select(Note).join(Clip).where(Clip.file_name == file_name)).first()


def heard_text(note: Note) -> str:
    """The heard words as one line."""
    return " ".join(word["text"] for word in note.words)


def latest_reading(session: Session, note_id: int) -> Reading | None:
    """The newest reading of a note, also one of typed words."""
    return session.exec(
        select(Reading).where(Reading.note_id == note_id).order_by(col(Reading.id).desc()).limit(1)
    ).first()


def heard_reading(session: Session, note_id: int) -> Reading | None:
    """The newest reading of the heard words; what a person typed for one entry is apart."""
    return session.exec(
        select(Reading)
        .where(Reading.note_id == note_id, Reading.origin != TYPED)
        .order_by(col(Reading.id).desc())
        .limit(1)
    ).first()


def spoken_at(session: Session, clip: Clip) -> Spoken:
    """What became of one clip."""
    note = note_of_clip(session, clip.id)
    if note is None:
        return Spoken(clip=clip)
    return Spoken(
        clip=clip,
        note=note,
        reading=heard_reading(session, note.id),
        entries=tuple(entries_of_note(session, note.id)),
    )


def spoken_in_order(session: Session, visit_id: int) -> list[Spoken]:
    """What became of every clip of a visit, in the order in which they were spoken."""
    notes = session.exec(select(Note).where(Note.visit_id == visit_id)).all()
    newest = (
        select(func.max(Reading.id))
        .join(Note, col(Note.id) == Reading.note_id)
        .where(Note.visit_id == visit_id, Reading.origin != TYPED)
        .group_by(col(Reading.note_id))
    )
    readings = session.exec(select(Reading).where(col(Reading.id).in_(newest))).all()
    entries = session.exec(
        select(Entry).where(Entry.visit_id == visit_id).order_by(col(Entry.position))
    ).all()
    by_clip = {note.clip_id: note for note in notes}
    read = {reading.note_id: reading for reading in readings}
    queued: dict[int, list[Entry]] = {}
    for entry in entries:
        queued.setdefault(entry.note_id, []).append(entry)
    return [
        Spoken(
            clip=clip,
            note=note,
            reading=read.get(note.id) if note else None,
            entries=tuple(queued.get(note.id, ())) if note else (),
        )
        for clip in clips_in_order(session, visit_id)
        for note in [by_clip.get(clip.id)]
    ]


def entries_of_note(session: Session, note_id: int) -> list[Entry]:
    return list(
        session.exec(
            select(Entry).where(Entry.note_id == note_id).order_by(col(Entry.position))
        ).all()
    )


def entries_of_visit(session: Session, visit_id: int) -> list[Entry]:
    """Every entry of a visit, whatever became of it, in the order in which they were spoken."""
    query = (
        select(Entry)
        .join(Note, col(Note.id) == Entry.note_id)
        .where(Entry.visit_id == visit_id)
        .order_by(col(Note.id), col(Entry.position))
    )
    return list(session.exec(query))


def entry_by_id(session: Session, entry_id: int, *, lock: bool = False) -> Entry:
    """Find an entry as it is now; `lock` keeps others from changing it until the session ends.

    Raises:
        NotFoundError: there is none with this id.
    """
    found = session.get(Entry, entry_id, populate_existing=True, with_for_update=lock or None)
    if found is None:
        count = session.exec(select(func.count()).select_from(Entry)).one()
        raise NotFoundError(
            gettext("there is no entry %(entry)s", entry=entry_id),
            remedy=gettext("`dictate queue` lists them (%(count)s in all)", count=count),
        )
    return found
