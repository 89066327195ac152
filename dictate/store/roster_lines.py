"""What one line of a roster says, and which animal of the herd it means: known for life, by her number, or to be asked."""

import datetime as dt
import re
from collections.abc import Iterator, Sequence
from typing import Annotated

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field
from sqlmodel import Session, col, select

from dictate.store.states import AnimalStatus
from dictate.store.tables import Animal, Farm

_Blank = BeforeValidator(
    lambda value: None if isinstance(value, str) and not value.strip() else value
)
_TAG_DIGITS_MIN = 5


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


def is_there(line: RosterLine) -> bool:
    return line.status in (None, AnimalStatus.PRESENT)


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


def tag_key(tag: str) -> str:
    """Equal for one ear tag however it is spaced and written."""
    plain = tag.replace(" ", "")
    return plain.upper() if plain.isalnum() else re.sub(r"[\W_]+", "", tag).upper()


class Herd:
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


def paired(
    lines: Sequence[RosterLine],
    herd: Herd,
    returned: bool | None,
    zeros: bool | None,
    change: RosterChange,
) -> Iterator[tuple[RosterLine, Animal | None]]:
    """Each line with the animal it means; undecided lines are noted in `change` and left out."""
    taken: dict[int | None, str] = {}
    there = {line.number for line in lines if is_there(line)}
    known = [(line, _known(line, herd, there)) for line in lines]
    sure = {animal.id for _, animal in known if animal}
    twins = _Twins(known, herd, sure)
    for line, animal in known:
        found = animal
        if found is None and is_there(line):
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
        self, known: Sequence[tuple[RosterLine, Animal | None]], herd: Herd, sure: set[int]
    ) -> None:
        self._herd: dict[str, Animal] = {}
        for animals in (herd.gone, herd.present):  # who is there is meant before who left
            for number, animal in animals.items():
                self._herd[without_zeros(number)] = animal
        self._sure = sure
        self._lines: dict[str, set[str]] = {}
        for line, _ in known:
            if is_there(line):
                self._lines.setdefault(without_zeros(line.number), set()).add(line.number)

    def of(self, line: RosterLine) -> str:
        """The other number; empty for none."""
        key = without_zeros(line.number)
        others = self._lines[key] - {line.number}
        animal = self._herd.get(key)
        if animal is not None and animal.number != line.number:
            others.add(animal.number)
        return min(others, default="")

    def animal(self, line: RosterLine) -> Animal | None:
        """The animal of the herd that bears the other number, unless a line names her already."""
        key = without_zeros(line.number)
        animal = self._herd.get(key)
        free = animal is not None and animal.id not in self._sure and not _differ(line, animal)
        return animal if free and len(self._lines[key]) == 1 else None


def _known(line: RosterLine, herd: Herd, there: set[str]) -> Animal | None:
    """The animal of a line, by what stays with her for life, else by the number she bears."""
    if line.eid and (found := herd.by_eid.get(line.eid)):
        return found
    if line.ear_tag and (found := herd.by_tag.get(tag_key(line.ear_tag))):
        return None if line.eid and found.eid else found
    if not is_there(line) and line.number in there:
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


def without_zeros(number: str) -> str:
    return number.lstrip("0").casefold()
