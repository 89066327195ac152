"""An invented evening: a farm with a roster and forty spoken notes, twelve of which need a fix.

The notes are read by the real grammar; only the hearing is given, as if a recogniser had written
these words. Each has a short sound of its own, so that playing works.
"""

import datetime as dt
import hashlib
import io
import wave
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from sqlmodel import Session

from dictate.notes.reading_notes import read_visit
from dictate.settings import Settings
from dictate.store.database import Database
from dictate.store.farms import farm_by_name
from dictate.store.names_kept import keep_names
from dictate.store.tables import Animal, Clip, Note, Visit
from dictate.store.visits import visit_for

DAY = dt.date(2026, 3, 2)
FARM = "Alder Farm"
TRIMMER = "Robin Field"
RATE = 16_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoken:
    """One note: what was meant, and what the recogniser wrote when that differs."""

    meant: str
    heard: str = ""
    also: tuple[str, ...] = ()
    """The recogniser's other hearings."""
    animal: str | None = None
    """The right number, when the heard one is wrong."""


PLAIN = [
    "cow {n} all good",
    "cow {n} left hind outer sole ulcer zone four rubber block on the inner look again in two weeks",
    "cow {n} just a trim nothing found",
    "cow {n} right hind outer white line disease zone three",
    "cow {n} both hinds digital dermatitis m two sprayed and wrapped wrap off in three days",
    "cow {n} right front inner sole haemorrhage zone five mild",
    "cow {n} left hind heel horn erosion moderate",
    "cow {n} clean just trimmed",
]
"""Notes without anything to look at; `{n}` is the animal."""

NUMBERS = [
    ("101", "one oh one"), ("118", "one one eight"), ("126", "one two six"), ("133", "one three three"),
    ("142", "one four two"), ("207", "two oh seven"), ("211", "two one one"), ("224", "two two four"),
    ("238", "two three eight"), ("246", "two four six"), ("263", "two six three"), ("277", "two seven seven"),
    ("281", "two eight one"), ("302", "three oh two"), ("316", "three one six"), ("327", "three two seven"),
    ("334", "three three four"), ("348", "three four eight"), ("361", "three six one"),
    ("372", "three seven two"), ("388", "three eight eight"), ("404", "four oh four"),
    ("412", "four one two"), ("423", "four two three"), ("436", "four three six"),
    ("448", "four four eight"), ("467", "four six seven"), ("471", "four seven one"),
]  # fmt: skip
"""Twenty-eight animals that are heard rightly."""

TROUBLED = [
    Spoken(meant="cow five one two all good", heard="cow five one three all good", animal="512"),
    Spoken(
        meant="cow five two six just a trim", heard="cow five two seven just a trim", animal="526"
    ),
    Spoken(
        meant="cow five three four left hind outer sole ulcer zone four",
        heard="cow five three eight left hind outer sole ulcer zone four",
        also=("cow five three four left hind outer sole ulcer zone four",),
        animal="534",
    ),
    Spoken(meant="cow five four one clean", heard="cow five four nine clean", animal="541"),
    Spoken(
        meant="cow five fifty two all good", heard="cow five fifteen two all good", animal="552"
    ),
    Spoken(
        meant="cow five six three just trimmed",
        heard="cow five six four just trimmed",
        animal="563",
    ),
    Spoken(
        meant="cow six oh one right hind outer sole ulcer zone four",
        heard="cow six oh one right hind outer soul elsie zone four",
    ),
    Spoken(
        meant="cow six one two right hind inner white line disease zone three",
        heard="cow six one two right hind inner white lime disease zone three",
    ),
    Spoken(
        meant="cow six two four sole ulcer zone four", heard="cow six two four sole ulcer zone four"
    ),
    Spoken(
        meant="cow six three three locomotion score three", heard="cow six three three score three"
    ),
    Spoken(
        meant="cow six four five left hind outer sole ulcer zone four cow six five six all good",
        heard="cow six four five left hind outer sole ulcer zone four six five six all good",
    ),
    Spoken(meant="cow six six seven all good", heard="go mix oven"),
]

ON_ROSTER = [number for number, _ in NUMBERS] + (
    "512 526 534 541 552 563 601 612 624 633 645 656 667 700 701 702 703 704".split()
)


def forty_notes() -> list[Spoken]:
    """The notes of the day in the order in which they were spoken."""
    plain = [
        Spoken(meant=PLAIN[at % len(PLAIN)].format(n=said)) for at, (_, said) in enumerate(NUMBERS)
    ]
    troubled = iter(TROUBLED)
    notes: list[Spoken] = []
    for at, note in enumerate(plain):
        notes.append(note)
        if at % 2 == 1 and (more := next(troubled, None)):
            notes.append(more)
    return notes + list(troubled)


def put_evening(database: Database, settings: Settings, notes: list[Spoken]) -> int:
    """Write the day into the database as if its clips had been heard; the visit's id."""
    with database.writing() as session:
        visit = visit_for(session, farm=FARM, trimmer=TRIMMER, date=DAY)
        farm = farm_by_name(session, FARM)
        animals = [
            Animal(farm_id=visit.farm_id, number=number, on_roster=True) for number in ON_ROSTER
        ]
        session.add_all(animals)
        session.flush()
        keep_names(session, farm, animals)
        for at, spoken in enumerate(notes):
            put_note(session, settings, visit, at, spoken)
        visit_id = visit.id or 0
    read_visit(database, settings, visit_id)
    return visit_id


def put_note(session: Session, settings: Settings, visit: Visit, at: int, spoken: Spoken) -> None:
    words = (spoken.heard or spoken.meant).split()
    data = tone(len(words) * 0.4, pitch=200 + 5 * at)
    sha256 = hashlib.sha256(data).hexdigest()
    path = Path(settings.sounds) / sha256[:2] / f"{sha256}.wav"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    began = dt.datetime.combine(DAY, dt.time(9, 0), dt.UTC) + dt.timedelta(minutes=5 * at)
    clip = Clip(
        sha256=sha256, visit_id=visit.id, file_name=f"note {at + 1:02}.wav", suffix=".wav",
        seconds=len(words) * 0.4, source_rate=RATE, channels=1, recorded_at=began,
        recorded_from="given",
    )  # fmt: skip
    session.add(clip)
    session.flush()
    hearings = [_timed(line.split()) for line in (" ".join(words), *spoken.also)]
    session.add(
        Note(
            clip_id=clip.id, visit_id=visit.id, engine="given 1", model="none",
            words=hearings[0], alternatives=hearings[1:],
        )
    )  # fmt: skip


def _timed(words: list[str]) -> list[dict[str, object]]:
    return [
        {"text": word, "start": 0.4 * at, "end": 0.4 * at + 0.4, "confidence": 0.9995}
        for at, word in enumerate(words)
    ]


def tone(seconds: float, *, pitch: float, silence: float = 0.0) -> bytes:
    """A WAV file with a quiet tone, and seconds of silence after it."""
    times = np.arange(int(seconds * RATE)) / RATE
    samples = (np.sin(2 * np.pi * pitch * times) * 3000).astype("<i2")
    samples = np.append(samples, np.zeros(int(silence * RATE), "<i2"))
    out = io.BytesIO()
    with wave.open(out, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(samples.tobytes())
    return out.getvalue()
