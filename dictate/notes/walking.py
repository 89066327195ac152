"""Going through the notes of a visit as they were spoken: what each is handed, read and queued."""

import logging
from collections.abc import Callable, Collection
from functools import cache, partial

from sqlmodel import Session

from dictate.notes.context import Context
from dictate.notes.correcting import CORRECTION, before_of, correct, reached
from dictate.notes.following import carry_after, context_changed, follow
from dictate.notes.queueing import queue_entries, write_reading
from dictate.notes.reaching_back import Before, going_on
from dictate.notes.understanding import Understood
from dictate.store.clips import Spoken, entries_of_note, heard_reading, spoken_at
from dictate.store.history import HANDED_ON
from dictate.store.states import NoteState
from dictate.store.tables import Clip, Note
from grammar import Carry

log = logging.getLogger(__name__)

Understand = Callable[[Note, Carry, float], Understood]
"""Gives what a note says, from what it is handed and the seconds of its sound."""


class Walk:
    """Goes through the notes of a visit; knows what each is handed by the ones before."""

    def __init__(
        self,
        context: Callable[[], Context],
        reads: Callable[[], Understand],
        *,
        by: str,
        act: str,
        again: Collection[int] = (),
        opening: str = HANDED_ON,
    ) -> None:
        self._context, self._reads = context, reads
        self._by, self._act = by, act
        self._again = again
        self._opening = opening
        self._carry = Carry()
        self._before: Callable[[], Before | None] = _none
        """The note before as one that may be corrected; made when the next one asks for it."""
        self._fresh = False
        """Whether the note before was just read, so that corrections of it must be applied again."""
        self._done = False
        """Whether the note at hand needs no second stage."""

    def read(self, session: Session, spoken: Spoken) -> int:
        """First stage: read the note if it wants to be; how many notes were read."""
        note, was = spoken.note, spoken.reading
        self._done = True
        if note is None:  # not heard yet: it may name another animal
            self._carry, self._before = Carry(seen=self._carry.seen), _none
            return 0
        corrects = was is not None and was.origin == CORRECTION
        if corrects and not self._fresh:
            # The note before holds what it changed, and it names no animal of its own.
            self._before = cache(partial(self._before_and, self._before, spoken))
            return 0
        before = self._before() if corrects or was is None else None
        found = reached(before, spoken.clip, note, was, self._context()) if before else None
        if before is not None and found is not None:
            done = correct(session, before, note, found, self._carry)
            base = before.note_id
            self._carry = carry_after(
                heard_reading(session, base), entries_of_note(session, base), before.carry
            )
            self._before = partial(going_on, before, found)
            return done
        self._done = corrects
        self._fresh = not corrects and self._wants_reading(spoken)
        if self._fresh:
            self._read(session, note, again=was is not None)
        return int(self._fresh)

    def queue(self, session: Session, spoken: Spoken) -> None:
        """Second stage: queue the entries of what was read, and let those that carry follow."""
        note = spoken.note
        if self._done or note is None:
            return
        if note.state == NoteState.PARSED:
            queue_entries(session, note, act=self._act)
            spoken = spoken_at(session, spoken.clip)
        carry = self._carry
        if any(entry.touched for entry in spoken.entries):
            follow(
                session, spoken.entries, carry, self._context,
                by=self._by, act=self._act, opening=self._opening,
            )  # fmt: skip
        self._before = cache(
            partial(
                before_of, spoken.clip, note, spoken.reading, spoken.entries, carry,
                fresh=self._fresh,
            )
        )  # fmt: skip
        self._carry = carry_after(spoken.reading, spoken.entries, carry)

    def _before_and(self, before: Callable[[], Before | None], spoken: Spoken) -> Before | None:
        """The note before with a correction of it that was applied already."""
        base = before()
        if base is None or spoken.note is None:
            return None
        found = reached(base, spoken.clip, spoken.note, spoken.reading, self._context())
        return going_on(base, found) if found else None

    def _wants_reading(self, spoken: Spoken) -> bool:
        note, was = spoken.note, spoken.reading
        if note is None or note.state == NoteState.HEARD:
            return note is not None
        if note.state != NoteState.WAITING or was is None:
            return False
        if any(entry.touched for entry in spoken.entries):
            return False
        if note.id in self._again:
            return True
        return was.carried_in != self._carry.animal or context_changed(spoken.entries, self._carry)

    def _read(self, session: Session, note: Note, *, again: bool) -> None:
        seconds = session.get_one(Clip, note.clip_id).seconds
        understood = self._reads()(note, self._carry, seconds)
        origin = "again" if again else "heard"
        write_reading(session, note, understood, self._carry, origin=origin)
        log.info(
            "read note=%s again=%s entries=%d marked=%d leftover=%d",
            note.id, again, len(understood.entries),
            sum(bool(entry.marks) for entry in understood.entries),
            len(understood.said.leftover),
        )  # fmt: skip


def _none() -> None:
    return None
