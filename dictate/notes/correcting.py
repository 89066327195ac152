"""Applying corrections that were said as a note of their own: the note before changes while it waits.

Never one that a person decided or changed. A note that was taken back is rejected, with its reason
in the history, and what took it back waits for a person.
"""

import datetime as dt
from collections.abc import Sequence

from sqlmodel import Session

from dictate.entry.values import EntryValues, MarkValues, WordsRead
from dictate.entry.wording import say_entry
from dictate.hearing import Fit
from dictate.hearing.talk import Judged, judge
from dictate.notes.context import Context
from dictate.notes.queueing import PROGRAM, queue_entries, write_reading
from dictate.notes.reaching_back import SOON, Before, Reached, reach_back
from dictate.notes.understanding import Understood
from dictate.store.clips import clips_in_order, entries_of_note, heard_reading, note_of_clip
from dictate.store.history import changing, new_act
from dictate.store.states import EntryState
from dictate.store.tables import Clip, Entry, Note, Reading
from grammar import Carry, Word

CORRECTED = "corrected"
"""Origin of the reading of a note together with one that corrected it."""

CORRECTION = "correction"
"""Origin of the reading of a note that changed the one before."""


def judged(note: Note, context: Context) -> Judged:
    """What was heard, the likeliest first, with what of it may be talk."""
    hearings = [[Word(**word) for word in words] for words in (note.words, *note.alternatives)]
    again = [Word(**word) for word in note.again["words"]] if note.again else []
    fits = [Fit(**fit) for fit in note.fits]
    return judge(hearings, fits, usual=context.usual_fit, again=again)


def corrected_by(session: Session, note: Note) -> Note | None:
    """The note that this one corrected or took back; None when it is one of its own."""
    reading = heard_reading(session, note.id)
    if reading is None or reading.origin != CORRECTION:
        return None
    before = None
    for clip in clips_in_order(session, note.visit_id):
        if clip.id == note.clip_id:
            return before
        one = note_of_clip(session, clip.id)
        was = heard_reading(session, one.id) if one else None
        if was is not None and was.origin != CORRECTION:
            before = one
    return None


def before_of(
    clip: Clip,
    note: Note,
    reading: Reading | None,
    entries: Sequence[Entry],
    carry: Carry,
    *,
    fresh: bool,
) -> Before | None:
    """The note as one the next may correct; None where nothing waits or a person had a hand in it."""
    waits = any(entry.state == EntryState.WAITING for entry in entries)
    decided = any(entry.touched or entry.state == EntryState.CONFIRMED for entry in entries)
    if reading is None or reading.origin == CORRECTION or decided or not waits:
        return None
    return Before(
        note_id=note.id,
        words=_read_words(note, reading),
        entries=tuple(entry.values for entry in entries),
        carry=carry,
        ended=clip.recorded_at and clip.recorded_at + dt.timedelta(seconds=clip.seconds),
        fresh=fresh,
    )


def _read_words(note: Note, reading: Reading) -> tuple[Word, ...]:
    """The words of the hearing that was read, with their times."""
    read = list(reading.said.words)
    for words in note.hearings:
        if [word["text"] for word in words] == read[: len(words)]:  # a correction's words follow
            return tuple(Word(**word) for word in words)
    return tuple(Word(**word) for word in note.words)


def reached(
    before: Before, clip: Clip, note: Note, was: Reading | None, context: Context
) -> Reached | None:
    """What a note makes of the one before, when it is a correction of it.

    `was` is how the note was read already; None while it was not.
    """
    if was is not None and was.origin != CORRECTION:
        return None
    if was is None and not _soon(before, clip):
        return None
    return reach_back(before, judged(note, context).hearings, context)


def _soon(before: Before, clip: Clip) -> bool:
    if before.ended is None or clip.recorded_at is None:
        return False
    return clip.recorded_at - before.ended <= SOON


def correct(session: Session, before: Before, note: Note, found: Reached, carry: Carry) -> int:
    """Change the note before, in the queue and in the history; the number of notes read."""
    base = session.get_one(Note, before.note_id)
    new = heard_reading(session, note.id) is None
    if not new and (not before.fresh or found.understood is None):
        return 0  # what a person put back is not taken back once more
    said = " ".join(word["text"] for word in note.words)
    if found.understood is not None:
        write_reading(session, base, found.understood, before.carry, origin=CORRECTED)
        queue_entries(session, base)
        carried_out = found.understood.carried_out
    else:
        _reject(session, base, f"taken back by the note after it: {said}")
        carried_out = carry.animal
    if not new:
        return 0
    blank = _taken_back(before, said) if found.understood is None else EntryValues()
    words = WordsRead(words=tuple(said.split()))
    answer = Understood(said=words, entries=(blank,), carried_out=carried_out)
    write_reading(session, note, answer, carry, origin=CORRECTION)
    queue_entries(session, note)
    if found.understood is not None:
        _reject(session, note, "it only corrected the note before")
    return 1


def _taken_back(before: Before, said: str) -> EntryValues:
    """An entry that asks a person about a note that was taken back: it may have been misheard."""
    mark = MarkValues(
        id="took-back",
        what=f"“{said}” took the note before back: {'; '.join(map(say_entry, before.entries))}",
        why="a note taken back by mistake would be lost",
        clear="discard this; or bring back the note before, if it was not meant",
    )
    return EntryValues(marks=(mark.id,), mark_details=(mark,))


def _reject(session: Session, note: Note, reason: str) -> None:
    act = new_act()
    for entry in entries_of_note(session, note.id):
        if entry.state == EntryState.WAITING and not entry.touched:
            with changing(session, entry, kind="rejected", who=PROGRAM, act=act):
                entry.state, entry.reason = EntryState.REJECTED, reason
