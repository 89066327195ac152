"""Random sequences of acts on the queue of one visit, and what must hold after each of them.

The notes carry their animal, correct and take back the note before, hold several animals, talk and
noise; two people act on them in any order. Nothing here is drawn from the program's own tables.
"""

import datetime as dt
import random
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from sqlalchemy import union_all
from sqlmodel import Session, col, func, select

from dictate.entry.checking import rechecked
from dictate.errors import ConflictError, NotFoundError, ReviewError
from dictate.notes.context import Context, context_of
from dictate.notes.correcting import CORRECTION, judged
from dictate.notes.following import carry_after
from dictate.notes.reading_notes import read_visit
from dictate.notes.understanding import understand
from dictate.review import acts
from dictate.settings import Settings
from dictate.store.clips import spoken_in_order
from dictate.store.database import Database
from dictate.store.history import snapshot
from dictate.store.record_tables import RECORD_TABLES
from dictate.store.states import EntryState
from dictate.store.tables import Animal, Clip, Entry, Event, Farm, Note, Visit
from dictate.store.visits import visit_for
from grammar import Carry

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = ["Day", "make_day", "play"]

NOTES = (
    "cow four twelve left hind outer sole ulcer zone four rubber block on the inner",
    "left hind clean",
    "same cow right hind white line disease",
    "right front clean look again in two weeks",
    "cow four fifteen all good",
    "cow nine left front digital dermatitis m two wrapped",
    "cow four fifteen left hind clean next cow nine right hind toe ulcer",
    "correction zone three",
    "scratch that",
    "did you see the match",
    "",
    "next cow left hind sole ulcer",
    "cow four fifty score three",
    "left hind soul elsa banana",
)
ROSTER = ("412", "415", "450", "9", "777", "20")
NUMBERS = (*ROSTER, "413", "8")
SLOTS: tuple[dict[str, Any], ...] = (
    {"findings.0.foot": "RH"},
    {"findings.0.lesion": "digital dermatitis"},
    {"findings.0.zone": 10},
    {"findings.0": None},
    {"actions.0": None},
    {"findings.+": {"lesion": "sole ulcer", "foot": "LF", "claw": "outer", "zone": 4}},
    {"animal": None},
    {"remark": "kicks"},
)
TYPED = (
    "cow four twelve left hind outer sole ulcer zone four",
    "right hind toe ulcer",
    "cow nine clean next cow twenty left hind sole ulcer",
)
_REFUSED = (ConflictError, NotFoundError, ReviewError)


@dataclass(kw_only=True)
class Day:
    """A visit whose notes were read, and a person's dice."""

    database: Database
    settings: Settings
    visit_id: int
    other_id: int
    """Another farm's visit, to which notes may be moved; nothing was spoken there."""
    dice: random.Random
    done: list[str] = field(default_factory=list)
    """What was done, to be shown when something does not hold."""
    contexts: dict[int, Context]
    """Of each visit."""
    told: int = 0
    """The newest event that was looked at."""
    history: dict[int, tuple[dict[str, Any], int]] = field(default_factory=dict)
    """Each entry as its events so far left it, and how many they are."""
    read: dict[tuple[Any, ...], list[dict[str, Any]]] = field(default_factory=dict)
    """Notes as they read where they stand."""
    steps: int = 0
    """Acts that were carried out, with the undoing of them."""


def make_day(database: Database, settings: Settings, dice: random.Random, number: int) -> Day:
    """A visit of a few notes, ten seconds apart, read and queued."""
    day = dt.date(2026, 1, 1) + dt.timedelta(days=number)
    with database.writing() as session:
        visit = visit_for(session, farm=f"Alder Farm {number}", trimmer="Robin Field", date=day)
        visit_id = visit.id
        other = visit_for(
            session, farm=f"Birch Farm {number}", trimmer="Robin Field",
            date=day + dt.timedelta(days=1),
        )  # fmt: skip
        other_id = other.id
        session.add_all(
            Animal(farm_id=other.farm_id, number=one, on_roster=True) for one in ROSTER[::2]
        )
        if dice.random() < 0.8:
            session.add_all(
                Animal(farm_id=visit.farm_id, number=one, on_roster=True) for one in ROSTER
            )
        begin = dt.datetime(2026, 1, 1, 9, tzinfo=dt.UTC)
        for at in range(dice.randint(2, 6)):
            text = dice.choice(NOTES)
            clip = Clip(
                sha256=f"{number}-{at}", visit_id=visit_id, file_name=f"{at}.wav", suffix=".wav",
                seconds=1, source_rate=16_000, channels=1,
                recorded_at=begin + dt.timedelta(seconds=10 * at),
            )  # fmt: skip
            session.add(clip)
            session.flush()
            session.add(
                Note(
                    clip_id=clip.id, visit_id=visit_id, engine="given", model="none",
                    words=[{"text": word} for word in text.split()], alternatives=[],
                )
            )  # fmt: skip
        contexts = {one.id: context_of(session, one, settings) for one in (visit, other)}
        told = _newest_event(session)
    read_visit(database, settings, visit_id)
    return Day(
        database=database, settings=settings, visit_id=visit_id, other_id=other_id, dice=dice,
        contexts=contexts, told=told,
    )  # fmt: skip


def play(day: Day, steps: int) -> None:
    """Act at random, then undo everything; whatever must hold is asserted after each act.

    Raises:
        AssertionError: something does not hold; the message says what was done before.
    """
    first = _states(day)
    _holds(day)
    for _ in range(steps):
        if _step(day):
            _holds(day)
        else:
            with day.database.reading() as session:
                assert _newest_event(session) == day.told, _told(day, "refused, and yet done")
    # What one did may stand on top of the other's.
    while _undo_all(day, "Kim") + _undo_all(day, "Robin"):
        pass
    _holds(day)
    after = _states(day)
    left = {at: state for at, state in after.items() if at not in first}
    assert {at: after[at] for at in first} == first, _told(day, "undoing gave another state")
    assert {state["state"] for state in left.values()} <= {"rejected"}, _told(day, "left behind")


def _step(day: Day) -> bool:
    """Try one act; whether it was carried out."""
    dice, by = day.dice, day.dice.choice(("Kim", "Kim", "Robin"))
    with day.database.reading() as session:
        ids = session.exec(
            select(Entry.id).where(col(Entry.visit_id).in_(_visits(day))).order_by(col(Entry.id))
        ).all()
    one = dice.choice(ids)
    where = (day.database, day.settings, one)
    ways: list[tuple[str, Callable[[], object]]] = [
        ("confirm", lambda: acts.confirm(*where, by=by, sure=dice.random() < 0.7)),
        ("confirm", lambda: acts.confirm(*where, by=by, sure=True)),
        ("number", lambda: _number(day, where, by)),
        ("number", lambda: _number(day, where, by)),
        ("amend", lambda: acts.amend(*where, dice.choice(SLOTS), by=by, sure=True)),
        ("amend", lambda: acts.amend(*where, dice.choice(SLOTS), by=by, sure=True)),
        ("words", lambda: acts.put_words_right(*where, dice.choice(TYPED), by=by)),
        ("discard", lambda: acts.discard(*where, dice.choice(acts.REASONS), by=by)),
        ("restore", lambda: acts.restore(*where, by=by)),
        ("split", lambda: acts.split(*where, {("findings", 0)}, dice.choice(NUMBERS), by=by)),
        ("join", lambda: acts.join(*where, by=by)),
        ("move", lambda: _move(day, by)),
        ("undo", lambda: acts.undo(*where, by=by)),
        ("undo last", lambda: acts.undo_last(day.database, day.settings, by=by)),
        ("together", lambda: acts.confirm_together(*where[:2], day.visit_id, by=by)),
    ]
    name, act = dice.choice(ways)
    try:
        act()
        day.steps += 1
    except _REFUSED as refused:
        day.done.append(f"{by} {name} {one} refused: {refused}")
        return False
    day.done.append(f"{by} {name} {one}")
    return True


def _number(day: Day, where: tuple[Database, Settings, int], by: str) -> acts.Done:
    number = day.dice.choice(NUMBERS)
    day.done.append(number)
    confirm = day.dice.random() < 0.3
    return acts.choose_number(*where, number, by=by, then_confirm=confirm, sure=True)


def _move(day: Day, by: str) -> acts.Moved:
    """All of a visit, or some of its notes, to the other one."""
    whence, whither = day.dice.sample(_visits(day), 2)
    with day.database.reading() as session:
        to = session.get_one(Visit, whither)
        farm, date = session.get_one(Farm, to.farm_id).name, to.date
        clips = session.exec(
            select(Clip.id).where(Clip.visit_id == whence).order_by(col(Clip.id))
        ).all()
    some = None if day.dice.random() < 0.4 else [one for one in clips if day.dice.random() < 0.5]
    day.done.append(f"of {whence} clips {some}")
    return acts.move(day.database, day.settings, whence, by=by, farm=farm, date=date, clips=some)


def _undo_all(day: Day, by: str) -> int:
    """Undo as far as it goes; how many acts were undone."""
    done = 0
    with suppress(ConflictError, NotFoundError):
        while True:
            acts.undo_last(day.database, day.settings, by=by)
            done += 1
            _holds(day)
    day.steps += done
    return done


def _visits(day: Day) -> list[int]:
    return [day.visit_id, day.other_id]


def _holds(day: Day) -> None:
    with day.database.reading() as session:
        rows = session.exec(
            select(Entry, Note.visit_id)
            .join(Note, col(Note.id) == Entry.note_id)
            .where(col(Note.visit_id).in_(_visits(day)))
        ).all()
        for entry, visit_id in rows:
            assert entry.visit_id == visit_id, _told(day, f"{entry.id} is not where its note is")
        for visit_id in {visit_id for _, visit_id in rows}:
            _carrying_notes_agree(day, session, visit_id)
        entries = {entry.id: entry for entry, _ in rows}
        _history_replays(day, session, entries)
        _record_is_what_is_confirmed(day, session, entries)


def _carrying_notes_agree(day: Day, session: Session, visit_id: int) -> None:
    """Every entry that named no animal bears that of the entry before it; marks are those of reading anew."""
    context, carry = day.contexts[visit_id], Carry()
    for spoken in spoken_in_order(session, visit_id):
        if spoken.note is None or spoken.reading is None or spoken.reading.origin == CORRECTION:
            continue
        inside, handed = carry.animal, carry
        for entry in spoken.entries:
            if entry.state == EntryState.REJECTED:
                continue
            values = entry.values
            if values.carried:
                assert values.animal == inside, _told(day, f"{entry.id} carries another animal")
            if entry.touched and entry.state == EntryState.WAITING:
                anew = rechecked(values, roster=context.roster, on=context.on, carry=handed)
                assert anew == values, _told(day, f"{entry.id} is marked otherwise when checked")
            inside = values.animal or inside
            if values.animal:
                handed = replace(
                    handed, animal=inside, seen=tuple(dict.fromkeys((*handed.seen, values.animal))),
                    doubted=bool(values.carried) and handed.doubted,
                )  # fmt: skip
        waits = [one for one in spoken.entries if one.state == EntryState.WAITING]
        untouched = not any(one.touched for one in spoken.entries)
        if waits and untouched and spoken.reading.origin in ("heard", "again"):
            anew = _read_anew(day, spoken.note, context, carry)
            assert anew == [one.content for one in waits], _told(
                day, f"note {spoken.note.id} reads otherwise"
            )
        carry = carry_after(spoken.reading, spoken.entries, carry)


def _read_anew(day: Day, note: Note, context: Context, carry: Carry) -> list[dict[str, Any]]:
    """What the words give where they stand now; nothing else counts, so that it is read once."""
    numbers = context.roster.numbers if context.roster else None
    where = (note.id, carry, numbers, context.on, tuple(context.aliases.items()))
    if where not in day.read:
        anew = understand(judged(note, context), context, carry=carry).entries
        day.read[where] = [entry.model_dump(mode="json") for entry in anew]
    return day.read[where]


def _history_replays(day: Day, session: Session, entries: Mapping[int, Entry]) -> None:
    """The events of an entry, one after the other, give what it is now."""
    told = session.exec(
        select(Event.id, Event.subject_id, Event.before, Event.after)
        .where(Event.subject == "entry", Event.id > day.told)
        .order_by(col(Event.id))
    ).all()
    for event_id, of, before, after in told:
        state, version = day.history.get(of, (None, 0))
        assert before == state, _told(day, f"a gap in the history of {of}")
        day.history[of], day.told = (after, version + 1), event_id
    now = {entry.id: (snapshot(entry), entry.version) for entry in entries.values()}
    assert now == day.history, _told(day, "the history ends elsewhere")


_ROWS = union_all(
    *(
        select(one.entry_id, one.visit_id, one.farm_id, one.date, Animal.number).join(Animal)
        for one in RECORD_TABLES
    )
).subquery()


def _record_is_what_is_confirmed(day: Day, session: Session, entries: Mapping[int, Entry]) -> None:
    """Rows stand for confirmed entries alone, under the animal that the entry names."""
    for row in session.execute(select(_ROWS).where(_ROWS.c.visit_id.in_(_visits(day)))).all():
        entry = entries[row.entry_id]
        visit = session.get_one(Visit, entry.visit_id)
        assert (row.visit_id, row.farm_id, row.date) == (visit.id, visit.farm_id, visit.date)
        assert entry.state == EntryState.CONFIRMED, _told(day, f"{entry.id} is in the record")
        assert row.number == entry.content["animal"], _told(day, f"{entry.id} wrong animal")
    for entry in entries.values():
        assert (entry.animal_id is not None) == (entry.state == EntryState.CONFIRMED)


def _newest_event(session: Session) -> int:
    return session.exec(select(func.max(Event.id)).where(Event.subject == "entry")).one() or 0


def _states(day: Day) -> dict[int, dict[str, Any]]:
    with day.database.reading() as session:
        rows = session.exec(select(Entry).where(col(Entry.visit_id).in_(_visits(day)))).all()
        return {row.id: snapshot(row) for row in rows}


def _told(day: Day, what: str) -> str:
    return f"{what}, after: {'; '.join(day.done) or 'nothing'}"
