"""Treatments of the past in the record: each row a note of its own, under a visit named after its file.

The entries are like any other: they count in histories, cases and pictures, are amended and undone,
and go out with every export. Their note has no sound; its words are the row, and the one who made it
is `from FILE`, so that nobody takes them for what was said at the chute.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pydantic import BaseModel
from sqlmodel import Session, col, select

from dictate.store.history import STANDS, kept_of_farm, new_act, write_event
from dictate.store.past_entries import PastLine, add_entry, is_known
from dictate.store.past_herd import PastHerd
from dictate.store.tables import Event, Farm

TAKEN_IN = "past taken in"
_KEPT = "past columns"


class PastChange(BaseModel):
    """What taking a list in did, in rows."""

    added: int = 0
    known: int = 0
    """In the record already: from this list, from another, or from a note."""
    undecided: dict[int, str] = {}
    """Index of a line to why nobody can tell which animal it is."""


def take_in_past(
    session: Session,
    farm: Farm,
    lines: Sequence[PastLine],
    *,
    by: str,
    source: str,
    new: bool = False,
) -> PastChange:
    """Add each row to the history of its animal, as one act; a row that is there is not doubled.

    Args:
        session: An open writing session.
        farm: Whose animals they are.
        lines: The rows.
        by: Who takes them in.
        source: Name of the file.
        new: Numbers that the farm never had are animals that left, instead of undecided.
    """
    herd, change, act = PastHerd(session, farm), PastChange(), new_act()
    for at, line in enumerate(lines):
        animal, why = herd.find(line)
        if animal is None and new and not why:
            animal = herd.add_one_that_left(line)
        if animal is None:
            change.undecided[at] = why or (
                f"no animal {line.number or line.eid or line.ear_tag} is known at {farm.name}:"
                " take its roster in first, or say --new for animals that left"
            )
        elif is_known(session, animal, line):
            change.known += 1
        else:
            add_entry(session, farm, animal, line, by=by, act=act, source=source)
            change.added += 1
    if change.added:
        told = {"file": source, "added": change.added}
        write_event(session, farm, kind=TAKEN_IN, who=by, act=act, after=told)
    session.flush()
    return change


@dataclass(frozen=True, slots=True)
class PastTakenIn:
    """A list that was taken in, and not taken back as a whole."""

    act: str
    """Its name, to undo it."""
    file: str


def newest_past(session: Session, farm: Farm) -> PastTakenIn | None:
    """The newest list of a farm that still stands."""
    events = session.exec(
        select(Event)
        .where(Event.subject == "farm", Event.subject_id == farm.id, Event.kind == TAKEN_IN)
        .order_by(col(Event.id).desc())
    )
    for event in events:
        left = select(Event.id).where(Event.act == event.act, Event.kind == "confirmed", STANDS)
        if session.exec(left.limit(1)).first() is not None:
            return PastTakenIn(event.act, (event.after or {}).get("file", ""))
    return None


def kept_for_past(session: Session, farm: str | None) -> tuple[dict[str, str], dict[str, str]]:
    """What a person said earlier about a farm's lists: heading to field, and word to meaning."""
    newest = kept_of_farm(session, farm, _KEPT)
    return dict(newest.get("columns", {})), dict(newest.get("words", {}))


def keep_for_past(
    session: Session, farm: Farm, columns: Mapping[str, str], words: Mapping[str, str], *, by: str
) -> None:
    """Keep what a person said, for the next list of this farm."""
    if kept_for_past(session, farm.name) != (dict(columns), dict(words)):
        after = {"columns": dict(columns), "words": dict(words)}
        write_event(session, farm, kind=_KEPT, who=by, after=after)
