"""What was said of each animal of a visit, before it is put on the sheet."""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from dictate.entry.terms import NO_LESION
from dictate.entry.wording import say_actions
from dictate.record.rows import (
    ActionRow,
    FindingRow,
    FollowUpRow,
    LocomotionRow,
    MeasureRow,
    RemarkRow,
    natural,
)
from dictate.texts import gettext

_ROWS = ("findings", "actions", "follow_ups", "locomotion", "measures", "status", "remarks")
_MANY, _FEW = 6, 6
"""What at least so many animals share, and at most so few do not, is said once above them all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rows:
    """Confirmed rows."""

    findings: Sequence[FindingRow] = ()
    actions: Sequence[ActionRow] = ()
    follow_ups: Sequence[FollowUpRow] = ()
    locomotion: Sequence[LocomotionRow] = ()
    measures: Sequence[MeasureRow] = ()
    status: Sequence[RemarkRow] = ()
    """Said of the whole animal: very lame, cull …"""
    remarks: Sequence[RemarkRow] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitRows(_Rows):
    """The confirmed rows of one visit."""

    names: Mapping[int, str] = field(default_factory=dict)
    """Of animals that have one, by their id."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AnimalRows(_Rows):
    """The rows of one animal."""

    number: str
    name: str

    @property
    def lesions(self) -> list[FindingRow]:
        return [finding for finding in self.findings if finding.lesion != NO_LESION]

    @property
    def has_lesion(self) -> bool:
        return any(finding.is_lesion for finding in self.findings)

    @property
    def is_referred(self) -> bool:
        said = {row.kind for row in self.actions} | {row.kind for row in self.follow_ups}
        return bool(said & {"referred", "vet"})

    @property
    def is_plain(self) -> bool:
        """No lesion, nothing due and nothing of its own was said: a few words tell all."""
        more = (self.follow_ups, self.locomotion, self.measures, self.status, self.remarks)
        return not (self.lesions or any(more) or self.is_referred)

    @property
    def titled(self) -> str:
        return f"{self.number} {self.name}".strip()


def per_animal(rows: VisitRows) -> list[AnimalRows]:
    """The rows of each animal, in the order of their numbers."""
    numbers: dict[int, str] = {}
    of: dict[int, dict[str, list[object]]] = defaultdict(lambda: defaultdict(list))
    for kind in _ROWS:
        for row in getattr(rows, kind):
            numbers.setdefault(row.animal_id, row.animal)
            of[row.animal_id][kind].append(row)
    animals = (
        AnimalRows(number=number, name=rows.names.get(at, ""), **of[at])  # type: ignore[arg-type]
        for at, number in numbers.items()
    )
    return sorted(animals, key=lambda animal: natural(animal.number))


def done_to_all(animals: Sequence[AnimalRows]) -> tuple[str, str]:
    """What was done to all but a few animals, and the sentence that says so; both empty for nothing."""
    done = Counter(words for animal in animals for words in say_actions(animal.actions))
    common, times = max(done.items(), key=lambda item: item[1], default=("", 0))
    if times < _MANY or len(animals) - times > _FEW:
        return "", ""
    others = [animal.number for animal in animals if common not in say_actions(animal.actions)]
    if not others:
        return common, gettext("%(words)s: every animal", words=common)
    numbers = ", ".join(others)
    return common, gettext("%(words)s: every animal but %(numbers)s", words=common, numbers=numbers)
