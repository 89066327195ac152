"""Reading notes in the order in which they were spoken, and queueing their entries.

The animal carries from note to note within a visit. A note that comes in late, or an animal that
was corrected, changes what the notes after it were handed; those that no person has touched are
then read again, and in those that a person has touched the animal follows. A note that only
corrects the one before changes that one, while it waits.
"""

import logging
from collections.abc import Callable, Collection
from dataclasses import replace
from functools import cache, partial
from itertools import chain, pairwise

from sqlmodel import Session

from dictate.hearing import Fit
from dictate.hearing.talk import usual_fit
from dictate.notes.correcting import CORRECTION, before_of, correct, judged, reached
from dictate.notes.following import carry_after, context_changed, follow
from dictate.notes.queueing import PROGRAM, queue_entries, write_reading
from dictate.notes.reaching_back import Before, going_on
from dictate.notes.taught import taught_to
from dictate.notes.understanding import Context, Understood, understand
from dictate.settings import Settings
from dictate.store.clips import (
    Spoken,
    clips_in_order,
    entries_of_note,
    heard_reading,
    spoken_at,
    spoken_in_order,
)
from dictate.store.database import Database
from dictate.store.farms import roster_of
from dictate.store.history import HANDED_ON, new_act
from dictate.store.states import NoteState
from dictate.store.tables import Clip, Note, Visit
from dictate.store.visits import fits_so_far, visits_with_work
from grammar import Carry

log = logging.getLogger(__name__)

_UNREAD = (NoteState.HEARD, NoteState.PARSED)


def context_of(session: Session, visit: Visit, settings: Settings) -> Context:
    """What the grammar may know at a visit."""
    return Context(
        roster=roster_of(session, visit.farm_id),
        on=visit.date,
        aliases=taught_to(session, settings, visit.trimmer_id),
        intervals=settings.intervals,
    )


def _context_for(session: Session, visit: Visit, settings: Settings) -> Context:
    """The same with how well the trimmer's notes fit their sound so far, to tell talk from notes."""
    usual = usual_fit(Fit(**fit) for fit in fits_so_far(session, visit))
    return replace(context_of(session, visit, settings), usual_fit=usual)


Understand = Callable[[Note, Carry, float], Understood]
"""Gives what a note says, from what it is handed and the seconds of its sound."""

BeginReading = Callable[[Session, int, Context], Understand]
"""Begins with the notes of one visit."""


def read_here(_session: Session, _visit_id: int, context: Context) -> Understand:
    """Each note is read when its turn comes, in this process."""

    def here(note: Note, carry: Carry, seconds: float) -> Understood:
        return understand(judged(note, context), context, carry=carry, seconds=seconds)

    return here


def read_notes(
    database: Database, settings: Settings, *, begin_reading: BeginReading = read_here
) -> int:
    """Read every heard note of this trimmer and queue its entries; the number of notes read."""
    with database.reading() as session:
        visits = [visit.id for visit in visits_with_work(session, trimmer=settings.trimmer)]
    # The next visit is begun before the one at hand is queued: workers must not wait for that.
    begun = (_begin(database, settings, visit, begin_reading) for visit in visits)
    return sum(walk() for walk, _next in pairwise(chain(begun, (None,))) if walk)


def read_visit(database: Database, settings: Settings, visit_id: int) -> int:
    """Read the notes of one visit in order, each stage of each note committed by itself."""
    return _begin(database, settings, visit_id, read_here)()


def _begin(
    database: Database, settings: Settings, visit_id: int, begin_reading: BeginReading
) -> Callable[[], int]:
    """Look at a visit, and return what reads and queues its notes."""
    with database.reading() as session:
        context = _context_for(session, session.get_one(Visit, visit_id), settings)
        clips = clips_in_order(session, visit_id)
        reads = begin_reading(session, visit_id, context)
    walk = _Walk(lambda: context, lambda: reads, by=PROGRAM, act=new_act())

    def go() -> int:
        done = 0
        for clip in clips:
            with database.writing() as session:
                done += walk.read(session, spoken_at(session, clip))
            with database.writing() as session:
                walk.queue(session, spoken_at(session, clip))
        return done

    return go


def hand_on(
    session: Session,
    settings: Settings,
    visit_id: int,
    *,
    by: str,
    act: str,
    again: Collection[int],
    opening: str,
) -> None:
    """After a change: what hangs on it follows, within the caller's transaction.

    Notes that are not read yet are left to `read_visit`, with all that come after them. Those of
    `again` are read again if no person has touched them. `opening` is the kind of the event of a
    confirmed entry that waits again.
    """
    visit = session.get_one(Visit, visit_id)
    context = cache(partial(_context_for, session, visit, settings))
    reads = cache(lambda: read_here(session, visit_id, context()))
    walk = _Walk(context, reads, by=by, act=act, again=again, opening=opening)
    for spoken in spoken_in_order(session, visit_id):
        if spoken.note is not None and spoken.note.state in _UNREAD:
            return
        if walk.read(session, spoken):
            walk.queue(session, spoken_at(session, spoken.clip))
        else:
            walk.queue(session, spoken)


def what_is_handed_to(session: Session, note: Note) -> Carry:
    """What a note is handed by those before it, as they stand now."""
    carry = Carry()
    for spoken in spoken_in_order(session, note.visit_id):
        if spoken.note is None:
            carry = Carry(seen=carry.seen)
        elif spoken.note.id == note.id:
            break
        elif spoken.reading is None or spoken.reading.origin != CORRECTION:
            carry = carry_after(spoken.reading, spoken.entries, carry)
    return carry


class _Walk:
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
