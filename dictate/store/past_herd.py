"""Which animal of a farm a row of the past is of: by its electronic number, its ear tag or its number."""

from sqlmodel import Session, select

from dictate.store.past_entries import PastLine
from dictate.store.roster_lines import tag_key
from dictate.store.states import AnimalStatus
from dictate.store.tables import Animal, Farm


class PastHerd:
    """All animals that a farm ever had, to be found by what a row says."""

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
        self._put(animal, animal)
        return animal
