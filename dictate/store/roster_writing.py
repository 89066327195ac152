"""Writing a roster into the herd as one act, with an event for each animal that changed."""

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from sqlmodel import Session, col, insert

from dictate.store.history import new_act, write_event
from dictate.store.names_kept import keep_rows
from dictate.store.roster_lines import RosterChange, RosterLine, is_there
from dictate.store.states import AnimalStatus
from dictate.store.tables import Animal, Event, Farm, now

TAKEN_IN = "roster taken in"
"""Kind of the event of a farm that tells what one list did."""

_EMPTY: dict[str, Any] = {
    "eid": None, "ear_tag": None, "name": None, "lactation": None, "calved_on": None,
    "dried_off_on": None, "status": AnimalStatus.PRESENT, "on_roster": True, "merged_into_id": None,
}  # fmt: skip
"""A new animal of which a line says nothing."""


class Writer:
    """Changes animals as one act: an event for each that changed, and one for the whole list."""

    def __init__(self, session: Session, by: str) -> None:
        self._session = session
        self.by, self.act, self.merged = by, new_act(), False
        self._told = {"who": by, "kind": "roster", "subject": "animal", "act": self.act}
        self._events: list[dict[str, Any]] = []

    def change(self, animal: Animal, values: Mapping[str, Any], *, number: str = "") -> bool:
        """Set values; `number` is what she bore before it was set aside."""
        is_now = vars(animal)  # a whole herd comes through here: attributes of tables are slow
        changed = {name: v for name, v in values.items() if is_now[name] != v}
        if not changed:
            return False
        before = animal.model_dump(mode="json")
        after = before | {name: _as_kept(value) for name, value in changed.items()}
        if number:
            before["number"] = number
        for name, value in changed.items():
            setattr(animal, name, value)
        told = {**self._told, "at": now(), "subject_id": animal.id}
        self._events.append({**told, "before": before, "after": after})
        return True

    def finish(self, farm: Farm, added: Sequence[int], change: RosterChange, source: str) -> None:
        self._session.flush()
        if self._events:
            self._session.execute(insert(Event), self._events)
        if self._events or self.merged or added:
            told = {"file": source, "did": change.model_dump(), "added": _ranges(added)}
            write_event(self._session, farm, kind=TAKEN_IN, who=self.by, act=self.act, after=told)


def write_lines(
    session: Session,
    farm: Farm,
    pairs: Sequence[tuple[RosterLine, Animal | None]],
    writer: Writer,
    change: RosterChange,
) -> Sequence[int]:
    """Write all lines; return the ids of new animals."""
    new, numbers = [], _set_aside(session, pairs)
    for line, animal in pairs:
        given = line.model_dump(exclude_none=True)
        if animal is None:
            new.append(_EMPTY | {"farm_id": farm.id} | given)
            continue
        back = animal.status != AnimalStatus.PRESENT and is_there(line)
        values = {"on_roster": True} | given | ({"status": AnimalStatus.PRESENT} if back else {})
        before = numbers.get(animal.id, "")
        change.renumbered += bool(before)
        change.returned += back
        change.changed += writer.change(animal, values, number=before)
    change.added = len(new)
    if not new:
        return []
    names = [col(one) for one in (Animal.id, Animal.number, Animal.eid, Animal.ear_tag)]
    rows = [[*row, None] for row in session.execute(insert(Animal).returning(*names), new)]
    keep_rows(session, farm, rows, by=writer.by, act=writer.act)
    return [row[0] for row in rows]


def _set_aside(
    session: Session, pairs: Sequence[tuple[RosterLine, Animal | None]]
) -> dict[int, str]:
    """Set aside numbers that change hands, so that two animals can swap; return what they were."""
    numbers = {}
    for line, animal in pairs:
        if animal is not None and animal.number != line.number:
            numbers[animal.id] = animal.number
            animal.number = f"~{animal.id}"
    session.flush()
    return numbers


def _as_kept(value: Any) -> Any:
    """A value as an event keeps it."""
    return value.isoformat() if isinstance(value, dt.date) else value


def _ranges(numbers: Sequence[int]) -> list[list[int]]:
    """First and last of each run, so that a whole herd is kept in a few figures."""
    ranges: list[list[int]] = []
    for number in sorted(numbers):
        if ranges and number == ranges[-1][1] + 1:
            ranges[-1][1] = number
        else:
            ranges.append([number, number])
    return ranges
