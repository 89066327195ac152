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
from dictate.store.names_kept import keep_names
from dictate.store.past_entries import PastLine, add_entry, is_known
from dictate.store.roster_lines import tag_key
from dictate.store.states import AnimalStatus
from dictate.store.tables import Animal, Event, Farm

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
    herd, change, act = _PastHerd(session, farm), PastChange(), new_act()
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


class _PastHerd:
    """All animals that a farm ever had, to be found by what a row says: eid, ear tag or number."""

    def __init__(self, session: Session, farm: Farm) -> None:
        self._session, self._farm = session, farm
        animals = session.exec(select(Animal).where(Animal.farm_id == farm.id)).all()
        by_id = {animal.id: animal for animal in animals}
        self._eids: dict[str, dict[int, Animal]] = {}
        self._tags: dict[str, dict[int, Animal]] = {}
        self._numbers: dict[str, dict[int, Animal]] = {}
        self._but_for_zeros: dict[str, str] = {}
        for animal in animals:
            root = by_id.get(animal.merged_into_id or animal.id, animal)
            self._put(animal, root)

    def _put(self, animal: Animal, root: Animal) -> None:
        if animal.eid:
            self._eids.setdefault(animal.eid, {})[root.id] = root
        if animal.ear_tag:
            self._tags.setdefault(tag_key(animal.ear_tag), {})[root.id] = root
        self._numbers.setdefault(animal.number.casefold(), {})[root.id] = root
        self._but_for_zeros[animal.number.casefold().lstrip("0")] = animal.number

    def find(self, line: PastLine) -> tuple[Animal | None, str]:
        """The animal, or why nobody can tell; neither where none is known."""
        for said, there in (
            (line.eid, self._eids.get(line.eid or "", {})),
            (line.ear_tag, self._tags.get(tag_key(line.ear_tag or ""), {})),
            (line.number, self._numbers.get((line.number or "").casefold(), {})),
        ):
            if said and len(there) == 1:
                animal = next(iter(there.values()))
                return (
                    (None, f"{said} has another electronic number here: {animal.eid}")
                    if (said == line.number and line.eid and animal.eid not in (None, line.eid))
                    else (animal, "")
                )
            if said and len(there) > 1:
                return None, (
                    f"{len(there)} animals of the farm bore {said}: an electronic number or ear tag"
                    " says which one is meant"
                )
        twin = self._but_for_zeros.get((line.number or "").casefold().lstrip("0"))
        if line.number and twin:
            return None, f"{line.number} is {twin} here but for zeros in front: write it so"
        return None, ""

    def add_one_that_left(self, line: PastLine) -> Animal:
        animal = Animal(
            farm_id=self._farm.id, number=line.number or line.eid or line.ear_tag or "",
            eid=line.eid, ear_tag=line.ear_tag, status=AnimalStatus.OFF_ROSTER,
        )  # fmt: skip
        self._session.add(animal)
        self._session.flush()
        keep_names(self._session, self._farm, [animal])
        self._put(animal, animal)
        return animal
