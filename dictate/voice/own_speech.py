"""What there is of a person's speech in the home folder: what they read aloud, and certain notes."""

import random
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from sqlmodel import col, select

from dictate.decoder.sampling import spoken_numbers
from dictate.measuring.tables import TABLE, Utterance
from dictate.settings import Settings
from dictate.store.database import Database
from dictate.store.tables import Animal, Note, Trimmer, Visit
from dictate.voice.confirmed import certain_notes
from dictate.voice.folder_table import read_folder_table
from dictate.voice.kept import voices_folder
from dictate.voice.prompts import choose_prompts
from dictate.voice.recordings import Material, gather_recordings
from grammar import Roster

_NOTES_LOOKED_AT = 2000
_NUMBERS_TRIED = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnSpeech:
    """Rows to learn from, by where they come from."""

    read: tuple[Utterance, ...]
    noise: tuple[Utterance, ...]
    """Machines alone."""
    notes: tuple[Utterance, ...]
    """Confirmed, with certain words."""

    def material(self) -> Material:
        """Read the sound of all of it."""
        return gather_recordings([*self.read, *self.noise, *self.notes])


def readings_folder(settings: Settings, who: str | None = None) -> Path:
    """Where what a person read aloud is kept."""
    return voices_folder(settings, who) / "readings"


def own_speech(database: Database, settings: Settings, who: str | None = None) -> OwnSpeech:
    """Return what a person read aloud and what their reviewed notes are certain to say."""
    folder = readings_folder(settings, who)
    rows = read_folder_table(folder).rows if (folder / TABLE).exists() else ()
    return OwnSpeech(
        read=tuple(row for row in rows if row.words),
        noise=tuple(row for row in rows if not row.words),
        notes=tuple(certain_notes(database, settings, who or settings.trimmer)),
    )


def prompts_for(database: Database, who: str, *, count: int = 30) -> list[str]:
    """Choose prompts for a person: with the words of their notes, and numbers of the rosters."""
    used: Counter[str] = Counter()
    with database.reading() as session:
        notes = (
            select(Note.words)
            .join(Visit, col(Note.visit_id) == Visit.id)
            .join(Trimmer, col(Visit.trimmer_id) == Trimmer.id)
            .where(Trimmer.name == who)
            .order_by(col(Note.id).desc())
            .limit(_NOTES_LOOKED_AT)
        )
        for words in session.exec(notes):
            used.update(word["text"] for word in words)
        tags = select(Animal.number).where(Animal.on_roster).order_by(Animal.number)
        numbers = [number for number in session.exec(tags) if number.isdecimal()]
    some = random.Random(who).sample(numbers, min(_NUMBERS_TRIED, len(numbers)))
    spoken = [ways[0] for ways in spoken_numbers(Roster(numbers=tuple(some))).values()]
    return choose_prompts(count, numbers=spoken, used=used)
