"""What there is of a person's speech in the home folder: what they read aloud, and certain notes."""

from dataclasses import dataclass, replace
from pathlib import Path

from dictate.measuring.tables import TABLE, Utterance, read_table
from dictate.settings import Settings
from dictate.store.database import Database
from dictate.voice.confirmed import certain_notes
from dictate.voice.kept import voices_folder
from dictate.voice.recordings import Material, gather_recordings

__all__ = ["OwnSpeech", "own_speech", "readings_folder"]


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
    rows = read_table(folder) if (folder / TABLE).exists() else []
    rows = [replace(row, condition="") for row in rows]
    return OwnSpeech(
        read=tuple(row for row in rows if row.words),
        noise=tuple(row for row in rows if not row.words),
        notes=tuple(certain_notes(database, settings, who or settings.trimmer)),
    )
