"""Looking things up: people, farms, animals, visits, and the way of a clip to its entries."""

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar

from sqlalchemy import ColumnElement, func
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, SQLModel, col, or_, select
from sqlmodel.sql.expression import SelectOfScalar

from dictate.errors import NotFoundError
from dictate.record.rows import natural
from dictate.store.states import AnimalStatus
from dictate.store.tables import (
    Alias,
    Animal,
    Clip,
    Entry,
    Event,
    Farm,
    Note,
    Reading,
    Trimmer,
    Visit,
)
from dictate.texts import gettext

if TYPE_CHECKING:
    from grammar import Roster

T = TypeVar("T", bound=SQLModel)

TYPED = "typed"
"""Origin of a reading of what a person typed for one entry."""

LEFT_ASIDE = "left aside as talk"
"""Kind in the history, and reason, of an entry that nobody need look at."""

FORGOTTEN = "sound forgotten"
"""Kind of the history's event about a clip whose sound was dropped on purpose."""


_VISITS_SO_FAR = 3
"""Visits that tell how well a trimmer's notes usually fit: a season old, the microphone may differ."""

_FORGETTING = (Event.subject == "clip", Event.kind == FORGOTTEN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoken:
    """A clip, and how far it has come."""

    clip: Clip
    note: Note | None = None
    reading: Reading | None = None
    """The newest one of the heard words."""
    entries: tuple[Entry, ...] = ()


def heard_text(note: Note) -> str:
    """The heard words as one line."""
    return " ".join(word["text"] for word in note.words)


def farm_by_name(session: Session, name: str, *, make: bool = False) -> Farm:
    """Find a farm by its name, or make it.

    Raises:
        NotFoundError: there is none and `make` is false.
    """
    found = session.exec(select(Farm).where(Farm.name == name)).first()
    if found is None and not make:
        known = ", ".join(session.exec(select(Farm.name).order_by(Farm.name)).all()) or "none yet"
        raise NotFoundError(
            gettext("no farm is called %(name)s", name=repr(name)),
            remedy=gettext("Known farms: %(known)s", known=known),
        )
    return found or _add(session, Farm(name=name), select(Farm).where(Farm.name == name))


def visit_for(session: Session, *, farm: str, trimmer: str, date: dt.date) -> Visit:
    """The visit of one trimmer to one farm on one day; made when new, with its farm and trimmer."""
    at = farm_by_name(session, farm, make=True)
    by_name = select(Trimmer).where(Trimmer.name == trimmer)
    who = session.exec(by_name).first() or _add(session, Trimmer(name=trimmer), by_name)
    query = select(Visit).where(
        Visit.farm_id == at.id, Visit.trimmer_id == who.id, Visit.date == date
    )
    made = Visit(farm_id=at.id, trimmer_id=who.id, date=date)
    return session.exec(query).first() or _add(session, made, query)


def visit_by_id(session: Session, visit_id: int) -> Visit:
    """A visit that a row named."""
    return session.get_one(Visit, visit_id)


def find_visit(
    session: Session,
    *,
    farm: str | None = None,
    date: dt.date | None = None,
    trimmer: str | None = None,
) -> Visit:
    """The newest visit that fits what is given.

    Raises:
        NotFoundError: no visit fits.
    """
    query = select(Visit).join(Farm).join(Trimmer).where(still_a_visit())
    if farm is not None:
        query = query.where(Visit.farm_id == farm_by_name(session, farm).id)
    if date is not None:
        query = query.where(Visit.date == date)
    if trimmer is not None:
        query = query.where(Trimmer.name == trimmer)
    found = session.exec(query.order_by(col(Visit.date).desc(), col(Visit.id).desc())).first()
    if found is None:
        asked = ", ".join(str(part) for part in (farm, date, trimmer) if part)
        nothing = gettext("there is no visit yet for %(asked)s", asked=asked)
        raise NotFoundError(
            nothing if asked else gettext("there is no visit yet"),
            remedy=gettext("Take some sound files in first: dictate take-in PATH"),
        )
    return found


def still_a_visit() -> ColumnElement[bool]:
    """Whether a visit holds anything; one from which all was moved away is none any more."""
    return or_(
        select(Clip.id).where(Clip.visit_id == Visit.id).exists(),
        select(Entry.id).where(Entry.visit_id == Visit.id).exists(),
    )


def roster_of(session: Session, farm_id: int) -> "Roster | None":
    """The animals the grammar may expect at a farm; None when no roster was taken in."""
    animals = session.exec(
        select(Animal)
        .where(
            Animal.farm_id == farm_id,
            Animal.status == AnimalStatus.PRESENT,
            col(Animal.on_roster).is_(True),
            col(Animal.merged_into_id).is_(None),
        )
        .order_by(Animal.number)
    ).all()
    if not animals:
        return None
    from grammar import Roster  # noqa: PLC0415 (slow to load, and few commands need it)

    return Roster(
        numbers=tuple(animal.number for animal in animals),
        eids={animal.eid: animal.number for animal in animals if animal.eid},
        tags={animal.ear_tag: animal.number for animal in animals if animal.ear_tag},
    )


def has_roster(session: Session, farm_id: int) -> bool:
    """Whether a roster was taken in for a farm."""
    on_roster = select(Animal.id).where(Animal.farm_id == farm_id, col(Animal.on_roster).is_(True))
    return session.exec(on_roster.limit(1)).first() is not None


def animal_by_number(session: Session, farm_id: int, number: str) -> Animal | None:
    """The animal that bears a management number (or 15-digit electronic one) at a farm today.

    A number whose animal turned out to be another one means that other animal.
    """
    found = session.exec(
        select(Animal)
        .where(
            Animal.farm_id == farm_id,
            or_(Animal.number == number, Animal.eid == number),
            Animal.status == AnimalStatus.PRESENT,
        )
        .order_by(
            col(Animal.merged_into_id).is_not(None),
            col(Animal.number) != number,
            col(Animal.id).desc(),
        )
    ).first()
    return session.get(Animal, found.merged_into_id) if found and found.merged_into_id else found


def aliases_of(session: Session, trimmer_id: int) -> dict[str, str]:
    """What a trimmer taught: heard words to term."""
    rows = session.exec(select(Alias).where(Alias.trimmer_id == trimmer_id)).all()
    return {row.heard: row.term for row in rows}


def clip_by_hash(session: Session, sha256: str) -> Clip | None:
    return session.exec(select(Clip).where(Clip.sha256 == sha256)).first()


def forgotten_on(session: Session, clip_id: int) -> dt.date | None:
    """The day on which the sound of a clip was forgotten; None while it is kept."""
    query = select(Event.at).where(Event.subject_id == clip_id, *_FORGETTING)
    at = session.exec(query.order_by(col(Event.id).desc())).first()
    return at.date() if at else None


def forgotten_clips(session: Session) -> set[int]:
    """Ids of the clips whose sound was forgotten."""
    return set(session.exec(select(Event.subject_id).where(*_FORGETTING)).all())


def fits_so_far(session: Session, visit: Visit) -> list[dict[str, Any]]:
    """How well the stretches of a trimmer's notes fitted, at this visit and the few before it."""
    visits = (
        select(Visit.id)
        .where(Visit.trimmer_id == visit.trimmer_id, Visit.date <= visit.date)
        .order_by(col(Visit.date).desc(), col(Visit.id).desc())
        .limit(_VISITS_SO_FAR)
    )
    notes = session.exec(select(Note.fits).where(col(Note.visit_id).in_(visits))).all()
    return [fit for fits in notes for fit in fits]


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


def note_of_clip(session: Session, clip_id: int) -> Note | None:
    return session.exec(select(Note).where(Note.clip_id == clip_id)).first()


def note_of_file(session: Session, file_name: str) -> Note | None:
    """The note of a sound file taken in under this name."""
    return session.exec(select(Note).join(Clip).where(Clip.file_name == file_name)).first()


def visits_with_work(session: Session, *, trimmer: str | None) -> list[Visit]:
    """Visits with notes that are heard or parsed and not in the queue yet."""
    query = select(Visit).where(
        col(Visit.id).in_(select(Note.visit_id).where(col(Note.state).in_(("heard", "parsed"))))
    )
    if trimmer is not None:
        query = query.join(Trimmer).where(Trimmer.name == trimmer)
    return list(session.exec(query.order_by(col(Visit.date), col(Visit.id))).all())


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


def in_time(clip: Clip) -> tuple[object, ...]:
    """Sort key of a visit's clips: when they were spoken, then their names."""
    moment = clip.recorded_at.timestamp() if clip.recorded_at else 0.0
    return moment, natural(clip.file_name)


def _add(session: Session, row: T, query: SelectOfScalar[T]) -> T:
    """Write a new row, or find the one that another program wrote a moment earlier."""
    try:
        with session.begin_nested():
            session.add(row)
            session.flush()
    except IntegrityError:
        return session.exec(query).one()
    return row
