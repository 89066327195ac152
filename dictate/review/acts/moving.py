"""Moving a visit, or a part of it, that was taken in under a wrong farm or day: one act, with undo.

Sound and heard words stay as they are. Notes that no person has touched are read again with the
other farm's roster and the other day; in the others the numbers are looked up again and the days
that were said as intervals follow. A confirmed entry stays confirmed where the other farm's roster
has its number, under that farm's animal; else it waits again.
"""

import datetime as dt
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from dictate.entry.values import FollowUpValues
from dictate.entry.wording import day
from dictate.errors import NotFoundError, ReviewError
from dictate.notes.correcting import CORRECTION
from dictate.review.acts.act import Act, Store, acting
from dictate.review.acts.confirming import not_on_roster
from dictate.review.acts.done import Done
from dictate.settings import Settings
from dictate.store.clips import Spoken, entries_of_note, note_of_clip, spoken_in_order
from dictate.store.history import HANDED_ON, MOVED, tell_of_clip
from dictate.store.states import EntryState
from dictate.store.tables import Clip, Entry, Event, Farm, Note, Trimmer, Visit
from dictate.store.visits import visit_for
from dictate.texts import gettext, ngettext
from grammar import parse


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """What a move did."""

    act: str
    visit_id: int
    """Where the notes are now."""
    place: str
    """The same in words."""
    clips: int
    done: Done | None
    """What became of the entries; None when none of the clips was heard yet."""

    @property
    def told(self) -> str:
        """What happened, in words for a person."""
        said = ngettext(
            "%(num)s note moved to %(place)s.",
            "%(num)s notes moved to %(place)s.",
            self.clips,
            place=self.place,
        )
        entries = self.done.entries if self.done else ()
        again = [one for one in entries if one.opened]
        lacking = {
            one.values.animal for one in entries if "animal-not-on-roster" in one.values.marks
        }
        if lacking:
            numbers = ", ".join(sorted(filter(None, lacking)))
            said += " " + gettext("Not on its roster: %(numbers)s.", numbers=numbers)
        if again:
            said += " " + ngettext(
                "%(num)s that was confirmed waits again.",
                "%(num)s that were confirmed wait again.",
                len(again),
            )
        return f"{said} {self.done.told}".rstrip() if self.done else said


def move(
    store: Store,
    settings: Settings,
    visit_id: int,
    *,
    by: str,
    farm: str | None = None,
    date: dt.date | None = None,
    clips: Collection[int] | None = None,
) -> Moved:
    """Move a visit's notes to another farm or day, where they join the visit that is there.

    Args:
        store: The database, or a transaction that is open.
        settings: The trimmer's own.
        visit_id: The visit that they were taken in under.
        by: Who decides.
        farm: Name of the right farm; None leaves it as it is. A new name makes a farm.
        date: The right day; None leaves it as it is.
        clips: Which clips; None moves all. A note that only corrected the one before goes with it.

    Raises:
        NotFoundError: there is no such visit, or none of the clips is its own.
        ReviewError: that is where they are already.
    """
    with acting(store, settings, by) as act:
        session = act.session
        visit = session.get(Visit, visit_id)
        if visit is None:
            raise NotFoundError(gettext("there is no visit %(visit)s", visit=visit_id))
        from_farm = session.get_one(Farm, visit.farm_id)
        to = visit_for(
            session,
            farm=farm or from_farm.name,
            trimmer=session.get_one(Trimmer, visit.trimmer_id).name,
            date=date or visit.date,
        )
        place = f"{farm or from_farm.name}, {day(to.date)}"
        if to.id == visit.id:
            raise ReviewError(gettext("the notes are at %(place)s already", place=place))
        chosen = _chosen(spoken_in_order(session, visit_id), clips)
        if not chosen:
            raise NotFoundError(gettext("none of these notes is of this visit"))
        if to.whole_herd is None and clips is None:
            to.whole_herd = visit.whole_herd
        for spoken in chosen:
            _put(act, spoken.clip, spoken.note, to.id)
        for spoken in chosen:
            for entry in spoken.entries:
                _move_entry(act, entry, visit, to)
        act.visits |= {visit.id: None, to.id: None}
    return Moved(act=act.id, visit_id=to.id, place=place, clips=len(chosen), done=act.result)


def move_back(act: Act, events: Iterable[Event]) -> None:
    """Put clips back where the events of a move found them, as a part of undoing it."""
    for event in events:
        clip = act.session.get_one(Clip, event.subject_id)
        note = note_of_clip(act.session, clip.id)
        act.visits[clip.visit_id] = None
        _put(act, clip, note, (event.before or {})["visit_id"], undoes=event.id)
        act.visits[clip.visit_id] = None
        visit = act.session.get_one(Visit, clip.visit_id)
        act.back_at = f"{act.session.get_one(Farm, visit.farm_id).name}, {day(visit.date)}"


def bring_along(act: Act) -> None:
    """Entries that came to a note after the move that is undone go back with it."""
    for note_id in act.again:
        visit_id = act.session.get_one(Note, note_id).visit_id
        for entry in entries_of_note(act.session, note_id):
            if entry.visit_id != visit_id:
                with act.change(entry, HANDED_ON):
                    entry.visit_id = visit_id


def _chosen(spoken: Iterable[Spoken], clips: Collection[int] | None) -> list[Spoken]:
    found: list[Spoken] = []
    goes = False
    for one in spoken:
        follows = one.reading is not None and one.reading.origin == CORRECTION
        goes = goes if follows else clips is None or one.clip.id in clips
        if goes:
            found.append(one)
    return found


def _put(
    act: Act, clip: Clip, note: Note | None, visit_id: int, *, undoes: int | None = None
) -> None:
    was = clip.visit_id
    clip.visit_id = visit_id
    if note is not None:
        note.visit_id = visit_id
        act.again.add(note.id)
    tell_of_clip(act.session, clip, was=was, who=act.by, act=act.id, undoes=undoes)


def _move_entry(act: Act, entry: Entry, visit: Visit, to: Visit) -> None:
    values = entry.values
    due = tuple(_due_from(one, visit.date, to.date) for one in values.follow_ups)
    strange = visit.farm_id != to.farm_id and not_on_roster(act.session, to.farm_id, values.animal)
    with act.change(entry, MOVED):
        entry.visit_id = to.id
        if entry.touched and due != values.follow_ups:
            entry.values = values.model_copy(update={"follow_ups": due})
        if entry.state == EntryState.CONFIRMED and strange:
            entry.state = EntryState.WAITING
            entry.confirmed_how = entry.confirmed_by = entry.confirmed_at = None


def _due_from(one: FollowUpValues, was: dt.date, now: dt.date) -> FollowUpValues:
    """A follow-up as it is due when the day of the visit was another; a day set by hand stays."""
    if was == now or one.date is None or not {"date", "in_days"}.isdisjoint(one.by_hand):
        return one
    # "Friday" is another number of days from another day.
    said = parse(["look", "again", *one.when.split()], on=now).entries if one.when else ()
    if said and said[0].follow_ups and said[0].follow_ups[0].on is not None:
        read = said[0].follow_ups[0]
        return one.model_copy(update={"date": read.on, "in_days": read.in_days})
    if one.in_days is None:
        return one
    return one.model_copy(update={"date": now + dt.timedelta(days=one.in_days)})
