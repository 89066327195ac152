"""What is due as one reads it off: animal, foot and lesion or block beside each follow-up."""

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import ColumnElement, func
from sqlmodel import Session, col, select

from dictate.entry.terms import NO_LESION
from dictate.entry.wording import say_due_place, say_feet
from dictate.record.rows import FollowUpRow
from dictate.store.record_tables import Action, Finding, FollowUp
from dictate.store.tables import Animal, Farm
from dictate.texts import translated

_ABOUT = {"block off": "block", "wrap off": "wrap"}
"""Follow-ups that are about something put on a claw; the others are about what was found."""
_AT_ONCE = 500
"""Entries looked up by one query."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DueLine:
    """One open follow-up."""

    id: int
    farm_id: int
    farm: str
    animal_id: int
    animal: str
    kind: str
    on: dt.date | None
    """The day it is due, put off or not; None when no date was said."""
    asked_on: dt.date
    said: str
    """The interval or date as said."""
    put_off_from: dt.date | None
    about: str
    """Foot, claw and lesion or block that it is about, as the entry that asked for it says."""


def due_lines(
    session: Session,
    *,
    farm_id: int | None = None,
    until: dt.date | None = None,
    most: int = 1000,
    skip: int = 0,
) -> tuple[list[DueLine], int]:
    """Open follow-ups by day and farm, undated ones last, and how many there are.

    `until` is the last day that counts (undated ones always do); `most` is the longest list given,
    `skip` how many are left out before it.
    """
    day: ColumnElement[dt.date] = func.coalesce(FollowUp.snoozed_to, FollowUp.due_on)
    wanted: list[ColumnElement[bool]] = [col(FollowUp.done_on).is_(None)]
    if farm_id is not None:
        wanted.append(col(FollowUp.farm_id) == farm_id)
    if until is not None:
        wanted.append((day <= until) | day.is_(None))
    total = session.exec(select(func.count()).select_from(FollowUp).where(*wanted)).one()
    rows = session.exec(
        select(FollowUp, Animal.id, Animal.number, Farm.name)
        .join(Animal, col(Animal.id) == FollowUp.animal_id)
        .join(Farm, col(Farm.id) == FollowUp.farm_id)
        .where(*wanted)
        .order_by(
            day.is_(None), day, Farm.name, FollowUp.kind, func.length(Animal.number), Animal.number
        )
        .order_by(col(FollowUp.id))
        .offset(skip)
        .limit(most)
    ).all()
    about = what_about(session, [one for one, *_ in rows])
    return [
        DueLine(
            id=one.id,
            farm_id=one.farm_id,
            farm=farm,
            animal_id=animal_id,
            animal=number,
            kind=one.kind,
            on=one.snoozed_to or one.due_on,
            asked_on=one.date,
            said=one.said_when,
            put_off_from=one.due_on if one.snoozed_to else None,
            about=about[one.id],
        )
        for one, animal_id, number, farm in rows
    ], total


def what_about(session: Session, follow_ups: Sequence[FollowUp | FollowUpRow]) -> dict[int, str]:
    """Foot, claw and lesion or block of each follow-up by its id, as its entry says."""
    entries = {one.entry_id for one in follow_ups if one.entry_id is not None}
    about = _about(session, sorted(entries))
    return {
        one.id: ""
        if one.entry_id is None
        else _of_its_feet(one, about[one.entry_id, _ABOUT.get(one.kind, "")])
        for one in follow_ups
    }


def _of_its_feet(one: FollowUp | FollowUpRow, said: Mapping[str, str | None]) -> str:
    """What was found or done on the feet that the follow-up names, else those feet themselves."""
    feet = one.feet.split() if isinstance(one.feet, str) else one.feet
    own = [place for place, foot in said.items() if not feet or foot in feet]
    if all(place == said[place] for place in own):  # feet alone: `both hinds` where there is a word
        return say_feet(own) or say_due_place(feet, one.claw)
    return "; ".join(own)


def _about(session: Session, entries: list[int]) -> dict[tuple[int, str], dict[str, str | None]]:
    """Entry and kind of action (none for findings) to places in words, each once, with its foot."""
    said: dict[tuple[int, str], dict[str, str | None]] = defaultdict(dict)
    for start in range(0, len(entries), _AT_ONCE):
        some = entries[start : start + _AT_ONCE]
        found = select(Finding.entry_id, Finding.foot, Finding.claw, Finding.lesion).where(
            col(Finding.entry_id).in_(some), Finding.lesion != NO_LESION
        )
        done = select(Action.entry_id, Action.foot, Action.claw, Action.kind).where(
            col(Action.entry_id).in_(some), col(Action.kind).in_(_ABOUT.values())
        )
        for entry, foot, claw, what in session.exec(found.order_by(col(Finding.id))).all():
            _say(said[entry, ""], foot, claw, what)
        for entry, foot, claw, what in session.exec(done.order_by(col(Action.id))).all():
            _say(said[entry, what], foot, claw, "")
    return said


def _say(words: dict[str, str | None], foot: str | None, claw: str | None, what: str) -> None:
    place = " ".join(translated(part) for part in (foot, claw, what) if part)
    if place:
        words.setdefault(place, foot)
