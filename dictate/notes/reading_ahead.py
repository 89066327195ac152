"""Reading notes on Dask's workers, ahead of the program that queues them.

What a note says hangs on its words, on what the grammar may know at its visit, and on what the note
before handed on. Workers read the notes of a visit in stretches, each with what they think is handed
on; a reading is taken only where the note was really handed that, and where the worker has the same
lexicon. All other notes are read again, so that the records are those of a single process.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlmodel import Session

from dictate.notes.context import Context
from dictate.notes.correcting import judged
from dictate.notes.following import carry_after
from dictate.notes.queueing import PROGRAM, is_only_talk
from dictate.notes.reading_notes import BeginReading, read_here
from dictate.notes.understanding import Understood, lexicon_version, understand
from dictate.store.clips import clips_in_order, note_of_clip
from dictate.store.states import EntryState, NoteState
from dictate.store.tables import Entry, Note, Reading
from grammar import Carry

if TYPE_CHECKING:
    from distributed import Client, Future

_STRETCH = 8
"""Notes that one task reads: enough to be worth sending, few enough to begin anew after a wrong guess."""


_Heard = tuple[Note, float]
"""A heard note, and the seconds of its sound."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Some notes, read one after the other."""

    lexicon: str
    readings: dict[int, tuple[Carry, Understood]]
    """Note -> what it was thought to be handed, and how it was read with that."""
    handed_on: Carry


class ReadAhead:
    """The notes of one visit, being read elsewhere; called as each one's turn comes."""

    def __init__(self, client: "Client", session: Session, visit_id: int, context: Context) -> None:
        self._client = client
        self._context = context
        self._read_here = read_here(session, visit_id, context)
        self._heard: list[_Heard] = []
        fresh = True
        for clip in clips_in_order(session, visit_id):
            note = note_of_clip(session, clip.id)
            if note is not None and note.state == NoteState.HEARD:
                self._heard.append((note, clip.seconds))
            elif not self._heard:
                fresh = False
        self._at = {note.id: at for at, (note, _) in enumerate(self._heard)}
        self._stretches: dict[int, Future] = {}
        if fresh:  # else the first note will tell what it is handed
            self._begin(0, Carry())

    def __call__(self, note: Note, carry: Carry, seconds: float) -> Understood:
        """Give the worker's reading of a note if it holds, else read it here."""
        at = self._at.get(note.id)
        if at is not None:
            understood = self._read(note.id, carry)
            if understood is None and at not in self._stretches:
                self._begin(at, carry)
                understood = self._read(note.id, carry)
            if understood is not None:
                return understood
        return self._read_here(note, carry, seconds)

    def _begin(self, at: int, carry: Carry) -> None:
        """Give out all notes from this one on, each stretch handing on to the next."""
        self._stretches = {}
        before: Carry | Future = carry
        for start in range(at, len(self._heard), _STRETCH):
            notes = self._heard[start : start + _STRETCH]
            before = self._client.submit(_read_stretch, self._context, notes, before, pure=False)
            self._stretches |= dict.fromkeys(range(start, start + len(notes)), before)

    def _read(self, note_id: int, carry: Carry) -> Understood | None:
        """Take the worker's reading; None where none is to be had or it began from something else."""
        future = self._stretches.get(self._at[note_id])
        if future is None or future.exception() is not None:
            return None
        stretch: Stretch = future.result()
        handed, understood = stretch.readings[note_id]
        if stretch.lexicon != lexicon_version():
            return None
        if handed == carry:
            return understood
        self._stretches = {}  # what follows began from the wrong guess as well
        return None


def read_ahead(client: "Client") -> BeginReading:
    """Give what reads the notes of a visit on the workers of a Dask client."""

    def begin(session: Session, visit_id: int, context: Context) -> ReadAhead:
        return ReadAhead(client, session, visit_id, context)

    return begin


def _read_stretch(context: Context, notes: Sequence[_Heard], before: Carry | Stretch) -> Stretch:
    """Read notes that follow each other; runs on a worker."""
    carry = before.handed_on if isinstance(before, Stretch) else before
    readings = {}
    for note, seconds in notes:
        understood = understand(judged(note, context), context, carry=carry, seconds=seconds)
        readings[note.id] = carry, understood
        carry = carry_after(*_as_queued(note, understood), carry)
    return Stretch(lexicon=lexicon_version(), readings=readings, handed_on=carry)


def _as_queued(note: Note, understood: Understood) -> tuple[Reading, list[Entry]]:
    """Make the rows that the note would have once it is queued, which nobody stores."""
    contents = [entry.model_dump(mode="json") for entry in understood.entries]
    reading = Reading(
        note_id=note.id,
        origin="heard",
        who=PROGRAM,
        lexicon="",
        carried_out=understood.carried_out,
        content=understood.said.model_dump(mode="json"),
        entries=contents,
    )
    return reading, [
        Entry(
            note_id=note.id,
            visit_id=0,
            position=at,
            content=content,
            state=EntryState.REJECTED if is_only_talk(note, content) else EntryState.WAITING,
        )
        for at, content in enumerate(contents)
    ]
