"""A farm's roster, taken into the database: which animal a line means, and who comes and goes."""

import datetime as dt
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field
from sqlmodel import Session, col, insert, select

from dictate.errors import ConflictError, RosterError
from dictate.large_work import without_collecting
from dictate.store.animals import merge_animals
from dictate.store.history import new_act
from dictate.store.states import AnimalStatus
from dictate.store.tables import Animal, Event, Farm, now

_LEAVE_MAX = 0.1
"""Share of a herd that a complete list may take off without being asked."""
_TAG_DIGITS_MIN = 5
_COLUMNS_KEPT = "roster columns"
TAKEN_IN = "roster taken in"
"""Kind of the event of a farm that tells what one list did."""

_Blank = BeforeValidator(
    lambda value: None if isinstance(value, str) and not value.strip() else value
)


class RosterLine(BaseModel):
    """One animal of a roster file."""

    model_config = ConfigDict(extra="forbid", frozen=True, str_strip_whitespace=True)

    number: str = Field(min_length=1, max_length=20)
    eid: Annotated[str | None, _Blank] = Field(default=None, pattern=r"^[0-9]{15}$")
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
    """Known by their electronic number or ear tag, and now bearing another number."""
    left: int = 0
    """No longer on the roster."""
    returned: int = 0
    """Had left and are back, with their history."""
    undecided: dict[str, str] = Field(default_factory=dict, exclude=True)
    """Number to why its line was not taken in: a person has to say which animal it is."""
    came_back: tuple[str, ...] = Field(default=(), exclude=True)
    """Those of `undecided` that only wait for `returned` to be said."""
    but_for_zeros: tuple[str, ...] = Field(default=(), exclude=True)
    """Those of `undecided` that only wait for `zeros` to be said: 0412, where 412 is there."""


class ManyLeaveError(RosterError):
    """A complete list would take off more than a tenth of the herd; nothing was changed."""

    def __init__(self, leaving: Sequence[str], herd: int) -> None:
        some = ", ".join(leaving[:5]) + (" …" if len(leaving) > 5 else "")
        super().__init__(
            f"this list as the whole herd would take {len(leaving)} of the {herd:,} on the roster off it ({some})",
            remedy="Check that it is complete; if it is, say --yes. Nothing was changed",
        )
        self.leaving, self.herd = len(leaving), herd


@without_collecting()
def take_in_roster(
    session: Session,
    farm: Farm,
    lines: Sequence[RosterLine],
    *,
    by: str,
    complete: bool = False,
    sure: bool = False,
    returned: bool | None = None,
    zeros: bool | None = None,
    source: str = "",
) -> RosterChange:
    """Add and change a farm's animals; she who is known keeps her history whatever her number is.

    An animal is known by its electronic number, else its ear tag, else the number it bears today.
    Where only the number of an animal that left comes back, a person says whether it is that animal;
    so too where a new number is another one but for zeros in front.

    Args:
        session: An open writing session.
        farm: Whose roster.
        lines: Animals of the file, each number once.
        by: Who takes it in.
        complete: The file is the whole herd: animals that it lacks leave the roster and keep their
            history.
        sure: Take off even more than a tenth of the herd.
        returned: Whether a number that only animals bore which left means that animal (true) or a
            new one (false); None leaves such lines undecided.
        zeros: Whether a new number that is another animal's but for zeros in front (0412 and 412) means
            that animal (true) or a further one (false); None leaves such lines undecided.
        source: Name of the file, for whoever wants to take it back (`roster_undo`).

    Raises:
        ManyLeaveError: it would take off many animals, and nobody was sure.
    """
    herd = _Herd(session, farm)
    change = RosterChange()
    pairs = list(_paired(lines, herd, returned, zeros, change))
    kept = {animal.id for _, animal in pairs if animal}
    others = {number: one for number, one in herd.present.items() if one.id not in kept}
    writer = _Writer(session, by)
    pairs = list(_with_free_numbers(session, pairs, others, change, writer, complete=complete))
    leaving = []
    if complete:
        # Who is perhaps meant by a line that waits for an answer is not taken off for it.
        open_keys = {_without_zeros(number) for number in change.undecided}
        leaving = [one for one in others.values() if _without_zeros(one.number) not in open_keys]
        _guard(leaving, len(herd.present), lines, sure=sure)
    for animal in leaving:
        writer.change(animal, {"status": AnimalStatus.OFF_ROSTER, "on_roster": False})
    change.left = len(leaving)
    session.flush()
    added = _write(session, farm, pairs, writer, change)
    writer.finish(farm, added, change, source)
    return change


def kept_columns(session: Session, farm: str | None) -> dict[str, str]:
    """What a person said earlier about the columns of a farm's lists: heading to field."""
    at = select(Farm.id).where(Farm.name == farm).scalar_subquery()
    newest = session.exec(
        select(Event.after)
        .where(Event.subject == "farm", Event.subject_id == at, Event.kind == _COLUMNS_KEPT)
        .order_by(col(Event.id).desc())
    ).first()
    return dict(newest or {})


def keep_columns(session: Session, farm: Farm, columns: Mapping[str, str], *, by: str) -> None:
    """Keep what a person said about the columns, for the next list of this farm."""
    before = kept_columns(session, farm.name)
    if before != dict(columns):
        session.add(
            Event(
                who=by, kind=_COLUMNS_KEPT, subject="farm", subject_id=farm.id, act=new_act(),
                before=before or None, after=dict(columns),
            )
        )  # fmt: skip


class _Herd:
    """The animals of a farm, to be found by what a line says of them."""

    def __init__(self, session: Session, farm: Farm) -> None:
        animals = session.exec(
            select(Animal).where(Animal.farm_id == farm.id).order_by(col(Animal.id))
        ).all()
        by_id = {animal.id: animal for animal in animals}
        self.by_eid: dict[str, Animal] = {}
        self.by_tag: dict[str, Animal] = {}
        self.present: dict[str, Animal] = {}
        self.gone: dict[str, Animal] = {}
        """Number to the animal that bore it last and left; the dead do not come back."""
        # Those merged into another come first, so that an animal's own numbers win.
        for animal in sorted(animals, key=lambda one: one.merged_into_id is None):
            root = by_id.get(animal.merged_into_id or animal.id, animal)
            if animal.eid:
                self.by_eid[animal.eid] = root
            if animal.ear_tag:
                self.by_tag[tag_key(animal.ear_tag)] = root
            if animal.merged_into_id is not None:
                continue
            if animal.status == AnimalStatus.PRESENT:
                self.present[animal.number] = animal
            elif animal.status != AnimalStatus.DEAD:
                self.gone[animal.number] = animal


def _paired(
    lines: Sequence[RosterLine],
    herd: _Herd,
    returned: bool | None,
    zeros: bool | None,
    change: RosterChange,
) -> Iterator[tuple[RosterLine, Animal | None]]:
    """Each line with the animal it means; undecided lines are noted in `change` and left out."""
    taken: dict[int | None, str] = {}
    there = {line.number for line in lines if _is_there(line)}
    known = [(line, _known(line, herd, there)) for line in lines]
    sure = {animal.id for _, animal in known if animal}
    twins = _Twins(known, herd, sure)
    for line, animal in known:
        found = animal
        if found is None and _is_there(line):
            gone = herd.gone.get(line.number)
            if gone is not None and gone.id not in sure and not _differ(line, gone):
                if returned is None:
                    change.undecided[line.number] = (
                        f"number {line.number} was borne by an animal that is {gone.status}:"
                        " say whether it is that animal again"
                    )
                    change.came_back += (line.number,)
                    continue
                found = gone if returned else None
            elif zeros is not False and (twin := twins.of(line)):
                if zeros is None:
                    change.undecided[line.number] = (
                        f"{line.number} and {twin} are one number but for zeros in front:"
                        " say whether they are one animal"
                    )
                    change.but_for_zeros += (line.number,)
                    continue
                found = twins.animal(line)
                if found is None:
                    change.undecided[line.number] = (
                        f"{twin} and {line.number} would be one animal with two lines or two tags"
                    )
                    continue
        if found is not None:
            if found.id in taken:
                change.undecided[line.number] = (
                    f"{taken[found.id]} and {line.number} would be the same animal"
                )
                continue
            taken[found.id] = line.number
        yield line, found


class _Twins:
    """Numbers that are one but for zeros in front, among a file's lines and the animals of the herd."""

    def __init__(
        self, known: Sequence[tuple[RosterLine, Animal | None]], herd: _Herd, sure: set[int]
    ) -> None:
        self._herd: dict[str, Animal] = {}
        for animals in (herd.gone, herd.present):  # who is there is meant before who left
            for number, animal in animals.items():
                self._herd[_without_zeros(number)] = animal
        self._sure = sure
        self._lines: dict[str, set[str]] = {}
        for line, _ in known:
            if _is_there(line):
                self._lines.setdefault(_without_zeros(line.number), set()).add(line.number)

    def of(self, line: RosterLine) -> str:
        """The other number; empty for none."""
        key = _without_zeros(line.number)
        others = self._lines[key] - {line.number}
        animal = self._herd.get(key)
        if animal is not None and animal.number != line.number:
            others.add(animal.number)
        return min(others, default="")

    def animal(self, line: RosterLine) -> Animal | None:
        """The animal of the herd that bears the other number, unless a line names her already."""
        key = _without_zeros(line.number)
        animal = self._herd.get(key)
        free = animal is not None and animal.id not in self._sure and not _differ(line, animal)
        return animal if free and len(self._lines[key]) == 1 else None


def _is_there(line: RosterLine) -> bool:
    return line.status in (None, AnimalStatus.PRESENT)


def _without_zeros(number: str) -> str:
    return number.lstrip("0").casefold()


def _known(line: RosterLine, herd: _Herd, there: set[str]) -> Animal | None:
    """The animal of a line, by what stays with her for life, else by the number she bears."""
    if line.eid and (found := herd.by_eid.get(line.eid)):
        return found
    if line.ear_tag and (found := herd.by_tag.get(tag_key(line.ear_tag))):
        return None if line.eid and found.eid else found
    if not _is_there(line) and line.number in there:
        return None  # she who left bore the number before the one who bears it now
    found = herd.present.get(line.number)
    return None if found is None or _differ(line, found) else found


def _differ(line: RosterLine, animal: Animal) -> bool:
    """Whether a line and an animal of the same number are two animals: lifelong numbers differ."""
    if line.eid and animal.eid and line.eid != animal.eid:
        return True
    if not (line.ear_tag and animal.ear_tag) or (line.eid and line.eid == animal.eid):
        return False
    one, other = (re.sub(r"\D", "", tag) for tag in (line.ear_tag, animal.ear_tag))
    short, long = sorted((one, other), key=len)
    # A list may leave out the country, or keep the last digits only.
    return not (len(short) >= _TAG_DIGITS_MIN and long.endswith(short)) and one != other


def tag_key(tag: str) -> str:
    """Equal for one ear tag however it is spaced and written."""
    plain = tag.replace(" ", "")
    return plain.upper() if plain.isalnum() else re.sub(r"[\W_]+", "", tag).upper()


def _guard(
    leaving: Sequence[Animal], herd: int, lines: Sequence[RosterLine], *, sure: bool
) -> None:
    many = len(leaving) > _LEAVE_MAX * herd or not lines
    if leaving and many and not sure:
        raise ManyLeaveError([animal.number for animal in leaving], herd)


def _with_free_numbers(
    session: Session,
    pairs: Sequence[tuple[RosterLine, Animal | None]],
    others: dict[str, Animal],
    change: RosterChange,
    writer: "_Writer",
    *,
    complete: bool,
) -> Iterator[tuple[RosterLine, Animal | None]]:
    """The lines whose number no other animal will bear.

    `others` are the present animals that no line means. One that is known only from notes, while the
    animal of its number was away, is that animal and is taken out of them.
    """
    for line, animal in pairs:
        bearer = others.get(line.number)
        if bearer is None or not _is_there(line):
            yield line, animal
        elif animal is not None and not (bearer.on_roster or bearer.eid or bearer.ear_tag):
            try:
                merge_animals(session, bearer.id, animal.id, by=writer.by, act=writer.act)
                writer.merged = True
            except ConflictError as error:
                change.undecided[line.number] = error.what
                continue
            del others[line.number]
            yield line, animal
        elif complete:
            yield line, animal
        else:
            change.undecided[line.number] = (
                f"number {line.number} is borne by another animal that the file lacks"
                f" ({_told(bearer)}): put that one into the list, or say --complete if she left"
            )


def _told(animal: Animal) -> str:
    return animal.eid or animal.ear_tag or animal.name or "known by this number only"


class _Writer:
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
            self._session.add(
                Event(
                    who=self.by, kind=TAKEN_IN, subject="farm", subject_id=farm.id, act=self.act,
                    after=told,
                )
            )  # fmt: skip


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


def _write(
    session: Session,
    farm: Farm,
    pairs: Sequence[tuple[RosterLine, Animal | None]],
    writer: _Writer,
    change: RosterChange,
) -> Sequence[int]:
    """Write all lines; return the ids of new animals."""
    new, numbers = [], _set_aside(session, pairs)
    for line, animal in pairs:
        given = line.model_dump(exclude_none=True)
        if animal is None:
            new.append(_EMPTY | {"farm_id": farm.id} | given)
            continue
        back = animal.status != AnimalStatus.PRESENT and _is_there(line)
        values = {"on_roster": True} | given | ({"status": AnimalStatus.PRESENT} if back else {})
        before = numbers.get(animal.id, "")
        change.renumbered += bool(before)
        change.returned += back
        change.changed += writer.change(animal, values, number=before)
    change.added = len(new)
    if not new:
        return []
    return session.scalars(insert(Animal).returning(col(Animal.id)), new).all()


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


_EMPTY: dict[str, Any] = {
    "eid": None, "ear_tag": None, "name": None, "lactation": None, "calved_on": None,
    "dried_off_on": None, "status": AnimalStatus.PRESENT, "on_roster": True, "merged_into_id": None,
}  # fmt: skip
"""A new animal of which a line says nothing."""
