"""Reading notes in the order in which they were spoken, and queueing their entries.

The animal carries from note to note within a visit. A note that comes in late, or an animal that
was corrected, changes what the notes after it were handed; those that no person has touched are
then read again, and in those that a person has touched the animal follows. A note that only
corrects the one before changes that one, while it waits.
"""

import logging
from collections.abc import Callable, Collection
from functools import cache, partial
from itertools import chain, pairwise

from sqlmodel import Session

from dictate.notes.context import Context, context_with_fit
from dictate.notes.correcting import CORRECTION, judged
from dictate.notes.following import carry_after
from dictate.notes.queueing import PROGRAM
from dictate.notes.understanding import Understood, understand
from dictate.notes.walking import Understand, Walk
from dictate.settings import Settings
from dictate.store.clips import clips_in_order, spoken_at, spoken_in_order
from dictate.store.database import Database
from dictate.store.history import new_act
from dictate.store.states import NoteState
from dictate.store.tables import Note, Visit
from dictate.store.visits import visits_with_work
from grammar import Carry

log = logging.getLogger(__name__)
_UNREAD = (NoteState.HEARD, NoteState.PARSED)
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
        context = context_with_fit(session, session.get_one(Visit, visit_id), settings)
        clips = clips_in_order(session, visit_id)
        reads = begin_reading(session, visit_id, context)
    walk = Walk(lambda: context, lambda: reads, by=PROGRAM, act=new_act())

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
    context = cache(partial(context_with_fit, session, visit, settings))
    reads = cache(lambda: read_here(session, visit_id, context()))
    walk = Walk(context, reads, by=by, act=act, again=again, opening=opening)
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
