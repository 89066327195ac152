"""Taking live notes in, one by one, with the recogniser kept open."""

from collections.abc import Iterable, Sequence
from pathlib import Path

import numpy as np
from sqlmodel import Session, col, select

from dictate.entry.values import EntryValues
from dictate.errors import SoundError
from dictate.hearing import Engine, EngineDescription, Heard, open_engine
from dictate.notes.correcting import corrected_by
from dictate.notes.listening import TakenBack
from dictate.notes.pipeline import run_batch
from dictate.notes.taking_in import Fate, Where
from dictate.settings import Settings
from dictate.sound import RATE, Sound, has_speech
from dictate.store.clips import clip_by_hash, entries_of_note, note_of_clip
from dictate.store.database import Database
from dictate.store.farms import farm_by_name, roster_of
from dictate.store.states import EntryState
from dictate.store.tables import Note
from dictate.written import hash_file
from grammar import Roster


class Understanding:
    """Takes a note's file in, as `take-in` does, and gives its entries."""

    def __init__(
        self, database: Database, settings: Settings, *, farm: str, model: Path | None = None
    ) -> None:
        """Understand the notes of a farm, today."""
        self._database, self._settings = database, settings
        self._where = Where(farm=farm)
        self._model = model or settings.model
        self._opened: tuple[Roster | None, Engine] | None = None

    def warm_up(self, left_over: Sequence[Path] = ()) -> None:
        """Load the recogniser before anything is said, and take in what an earlier day left.

        Raises:
            ModelError: the recogniser cannot be opened.
        """
        with self._database.writing() as session:
            farm = farm_by_name(session, self._where.farm, make=True)
            roster = roster_of(session, farm.id)
        self._engine(roster).hear(Sound.of(np.zeros(RATE, np.int16)))  # the first time is slow
        batch = run_batch(self._database, self._settings, left_over, self._where, self._engine)
        for taken in batch.files:
            if taken.fate != Fate.REFUSED:
                taken.path.unlink()  # its bytes are kept under their hash

    def __call__(self, path: Path) -> Sequence[EntryValues] | TakenBack:
        """Take one note in; a correction gives what it made of the note before.

        Raises:
            SoundError: the file was refused; it stays where it is.
        """
        sha256 = hash_file(path)
        batch = run_batch(self._database, self._settings, [path], self._where, self._engine)
        if batch.faults:
            raise SoundError(batch.faults[0])
        path.unlink()  # its bytes are kept under their hash
        with self._database.reading() as session:
            clip = clip_by_hash(session, sha256)
            note = note_of_clip(session, clip.id) if clip else None
            return _queued(session, note) if note else ()

    def prepare(self, samples: np.ndarray) -> None:
        """Hear what will probably be the next note, so that taking it in finds it heard."""
        if self._opened is not None and has_speech(sound := Sound.of(samples)):
            self._opened[1].hear(sound)

    def _engine(self, roster: Roster | None) -> Engine:
        if self._opened is None or self._opened[0] != roster:
            self._opened = roster, _Remembering(open_engine(self._model, roster=roster))
        return self._opened[1]


def _queued(session: Session, note: Note) -> Sequence[EntryValues] | TakenBack:
    before = corrected_by(session, note)
    notes = [before] if before else _with_cut_off(session, note)
    entries = [entry for one in notes for entry in entries_of_note(session, one.id)]
    waiting = [entry for entry in entries if entry.state == EntryState.WAITING]
    values = tuple(entry.values for entry in waiting or entries)
    return values if waiting or before is None else TakenBack(entries=values)


def _with_cut_off(session: Session, note: Note) -> Sequence[Note]:
    """The newest note and those that were cut off it: nothing else was heard since."""
    newer = select(Note).where(Note.visit_id == note.visit_id, col(Note.id) >= note.id)
    return session.exec(newer.order_by(col(Note.id))).all()


class _Remembering:
    """An engine that hears the same samples twice in a row only once."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._last: tuple[bytes, Heard] | None = None

    def hear(self, sound: Sound) -> Heard:
        samples = sound.samples.tobytes()
        if self._last is None or self._last[0] != samples:
            self._last = samples, self._engine.hear(sound)
        return self._last[1]

    def describe(self) -> EngineDescription:
        return self._engine.describe()

    def missing_words(self, words: Iterable[str]) -> tuple[str, ...]:
        return self._engine.missing_words(words)
