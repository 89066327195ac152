"""A farm's roster: read from a CSV file, and taken into the database."""

import csv
import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError
from sqlmodel import Session, select

from dictate.errors import RosterError
from dictate.store.history import new_act
from dictate.store.tables import Animal, AnimalStatus, Event, Farm

if TYPE_CHECKING:
    from grammar import Roster

__all__ = ["RosterChange", "RosterLine", "read_roster", "roster_from", "take_in_roster"]

_COLUMNS: Mapping[str, tuple[str, ...]] = {
    "number": ("number", "animal", "cow", "management number", "animal number", "visual id"),
    "eid": ("eid", "electronic number", "electronic id", "rfid"),
    "ear_tag": ("ear tag", "tag", "national number", "ear tag number"),
    "name": ("name",),
    "lactation": ("lactation", "lactation number", "parity"),
    "calved_on": ("calved on", "calved", "calving date", "last calving"),
    "dried_off_on": ("dried off on", "dried off", "dry-off date", "dry off date"),
    "status": ("status",),
}
"""Field to the headings that are understood, in small letters; other columns are left alone."""

_Blank = BeforeValidator(
    lambda value: None if isinstance(value, str) and not value.strip() else value
)


class RosterLine(BaseModel):
    """One animal of a roster file."""

    model_config = ConfigDict(extra="forbid", frozen=True, str_strip_whitespace=True)

    number: str = Field(min_length=1, max_length=20)
    eid: Annotated[str | None, _Blank] = Field(default=None, pattern=r"^\d{15}$")
    ear_tag: Annotated[str | None, _Blank] = Field(default=None, max_length=30)
    name: Annotated[str | None, _Blank] = Field(default=None, max_length=60)
    lactation: Annotated[int | None, _Blank] = Field(default=None, ge=0, le=30)
    calved_on: Annotated[dt.date | None, _Blank] = None
    dried_off_on: Annotated[dt.date | None, _Blank] = None
    status: Annotated[AnimalStatus | None, _Blank] = None


class RosterChange(BaseModel):
    """What taking a roster in did, in animals."""

    added: int = 0
    changed: int = 0
    renumbered: int = 0
    """Known by their electronic number and now bearing another one."""
    left: int = 0
    """No longer on the roster."""


def read_roster(path: Path) -> list[RosterLine]:
    """Read a CSV file with a heading line, or with animal numbers alone in the first column.

    Commas, semicolons and tabs are understood; letters may be UTF-8 or Windows Latin.

    Raises:
        RosterError: the file cannot be read or lines are wrong; all faults are named at once.
    """
    rows = list(_rows(path))
    if not rows:
        raise RosterError("has no lines", where=str(path), remedy="Give one animal a line")
    headings = _headings(rows[0][1])
    body = rows[1:] if headings else rows
    fields = headings or {0: "number"}
    lines, faults = [], []
    for at, row in body:
        cells = {name: row[column] for column, name in fields.items() if column < len(row)}
        try:
            lines.append(RosterLine.model_validate(cells))
        except ValidationError as error:
            faults += [
                f"line {at}, {'.'.join(map(str, e['loc']))}: {e['msg']}" for e in error.errors()
            ]
    faults += _twice(lines, "number") + _twice(lines, "eid")
    if faults:
        raise RosterError("; ".join(faults), where=str(path), remedy="Correct these lines")
    return lines


def roster_from(lines: Iterable[RosterLine]) -> "Roster":
    """The roster as the grammar takes it."""
    from grammar import Roster  # noqa: PLC0415 (slow to load)

    present = [line for line in lines if line.status in (None, AnimalStatus.PRESENT)]
    return Roster(
        numbers=tuple(line.number for line in present),
        eids={line.eid: line.number for line in present if line.eid},
        tags={line.ear_tag: line.number for line in present if line.ear_tag},
    )


def take_in_roster(
    session: Session, farm: Farm, lines: Sequence[RosterLine], *, by: str, complete: bool = False
) -> RosterChange:
    """Add and change a farm's animals; those known by electronic number may change their number.

    Args:
        session: An open writing session.
        farm: Whose roster.
        lines: Animals of the file.
        by: Who takes it in.
        complete: The file is the whole herd: animals that it lacks leave the roster and keep their
            history.

    Raises:
        RosterError: a number in the file is borne by another animal that the file lacks.
    """
    animals = session.exec(
        select(Animal).where(Animal.farm_id == farm.id, Animal.merged_into_id == None)  # noqa: E711
    ).all()
    change, act = RosterChange(), new_act()
    pairs = _paired(lines, animals)
    was = {animal.id: _facts(animal) for animal in animals}
    kept = {animal.id for _, animal in pairs if animal}
    others = [a for a in animals if a.id not in kept and a.status == AnimalStatus.PRESENT]
    if complete:
        for animal in others:
            animal.status, animal.on_roster = AnimalStatus.OFF_ROSTER, False
            change.left += _record_change(session, animal, was[animal.id], by=by, act=act)
    else:
        _check_free(lines, others)
    _free_numbers(session, pairs)
    for line, animal in pairs:
        if animal is None:
            session.add(Animal(farm_id=farm.id, on_roster=True, **_given(line)))
            change.added += 1
            continue
        for name, value in (_given(line) | {"on_roster": True}).items():
            setattr(animal, name, value)
        change.renumbered += was[animal.id]["number"] != animal.number
        change.changed += _record_change(session, animal, was[animal.id], by=by, act=act)
    session.flush()
    return change


def _check_free(lines: Sequence[RosterLine], others: Sequence[Animal]) -> None:
    borne = {animal.number for animal in others}
    if taken := [line.number for line in lines if line.number in borne]:
        raise RosterError(
            f"borne by another animal that the file lacks: {', '.join(taken)}",
            remedy="Add that animal to the file, or say --complete if it left the herd",
        )


def _rows(path: Path) -> Iterator[tuple[int, list[str]]]:
    try:
        data = path.read_bytes()
    except OSError as error:
        raise RosterError(
            f"cannot be read: {error.strerror}", where=str(path), remedy="Check the path"
        ) from error
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
    first = text.partition("\n")[0]
    delimiter = max(",;\t", key=first.count)
    reader = csv.reader(text.splitlines(), delimiter=delimiter)
    try:
        yield from ((reader.line_num, row) for row in reader if any(cell.strip() for cell in row))
    except csv.Error as error:
        raise RosterError(
            f"is not a CSV file: {error}", where=str(path), remedy="Save it as CSV"
        ) from error


def _headings(row: Sequence[str]) -> dict[int, str]:
    """Column to field; empty when the row holds no heading for the animal's number."""
    known = {said: field for field, names in _COLUMNS.items() for said in names}
    found = {
        column: known[said]
        for column, cell in enumerate(row)
        if (said := cell.strip().lower().replace("_", " ")) in known
    }
    return found if "number" in found.values() else {}


def _twice(lines: Sequence[RosterLine], field: str) -> list[str]:
    values = [value for line in lines if (value := getattr(line, field))]
    return [
        f"{field} {value} stands twice"
        for value in dict.fromkeys(values)
        if values.count(value) > 1
    ]


def _paired(
    lines: Sequence[RosterLine], animals: Sequence[Animal]
) -> list[tuple[RosterLine, Animal | None]]:
    """Each line with the animal it means: by electronic number first, then by number."""
    by_eid = {animal.eid: animal for animal in animals if animal.eid}
    by_number = {a.number: a for a in animals if a.status == AnimalStatus.PRESENT}
    pairs = []
    for line in lines:
        found = by_eid.get(line.eid)
        if found is None:
            found = by_number.get(line.number)
            if (
                found is not None and found.eid and line.eid
            ):  # the number was given to another animal
                found = None
        pairs.append((line, found))
    return pairs


def _free_numbers(session: Session, pairs: Sequence[tuple[RosterLine, Animal | None]]) -> None:
    """Set aside numbers that change hands, so that two animals can swap theirs."""
    for line, animal in pairs:
        if animal is not None and animal.number != line.number:
            animal.number = f"~{animal.id}"
    session.flush()


def _given(line: RosterLine) -> dict[str, object]:
    return line.model_dump(exclude_none=True)


def _facts(animal: Animal) -> dict[str, object]:
    return animal.model_dump(mode="json")


def _record_change(
    session: Session, animal: Animal, was: dict[str, object], *, by: str, act: str
) -> bool:
    now = _facts(animal)
    if now == was:
        return False
    session.add(
        Event(
            who=by, kind="roster", subject="animal", subject_id=animal.id or 0, act=act,
            before=was, after=now,
        )
    )  # fmt: skip
    return True
