"""What was looked at, as columns of numbers: so twenty years of a large herd are counted in half a second."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain
from typing import Any

import numpy as np
from numpy.typing import NDArray

from dictate.entry.terms import NO_LESION
from dictate.record.rows import STAGED, TRIM_KINDS, ActionRow, FindingRow, VisitRow

Numbers = NDArray[np.int64]
NONE = -1
FLAGS_MAX = 20_000_000
"""Flags of a table; where more would be needed, numbers are sorted instead."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Coded:
    """A column of values as their places in a list; -1 for none."""

    at: Numbers
    names: tuple[Any, ...]

    def where(self, mask: NDArray[np.bool_]) -> "Coded":
        return Coded(at=self.at[mask], names=self.names)

    def among(self, names: Collection[Any]) -> NDArray[np.bool_]:
        """Whether each element is one of these."""
        chosen = np.array([name in names for name in self.names], dtype=bool)
        return chosen[self.at] if len(chosen) else np.zeros(0, dtype=bool)


@dataclass(frozen=True, slots=True, kw_only=True)
class Staged:
    """Findings of a lesion that has stages."""

    animal: Coded
    visit: Coded
    foot: Coded
    stage: Coded

    def of_visits(self, ids: Collection[int]) -> "Staged":
        mask = self.visit.among(ids)
        return Staged(
            **{name: getattr(self, name).where(mask) for name in self.__dataclass_fields__}
        )


@dataclass(frozen=True, kw_only=True)
class Columns:
    """Findings, then trims without a finding, one element each; `lesion` is -1 for the trims."""

    animal: Coded
    visit: Coded
    """Ids of visits."""
    foot: Coded
    claw: Coded
    zone: Coded
    lactation: Coded
    lesion: Coded
    there: NDArray[np.bool_]
    """A lesion was there on the day."""
    staged: Staged
    """Each digital dermatitis that was there, in the order they were said."""
    numbers: Mapping[int, str]
    """Id of each animal with a finding to its management number."""

    def of_visits(self, visits: Sequence[VisitRow]) -> "Columns":
        """Only what was seen at these."""
        ids = {visit.id for visit in visits}
        mask = self.visit.among(ids)
        coded_ones = "animal visit foot claw zone lactation lesion".split()
        return Columns(
            **{name: getattr(self, name).where(mask) for name in coded_ones},
            there=self.there[mask],
            staged=self.staged.of_visits(ids),
            numbers=self.numbers,
        )

    @cached_property
    def animal_foot(self) -> Numbers:
        return self.animal.at * max(1, len(self.foot.names)) + self.foot.at


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """Findings or trims as lists that go together; -1 and an empty text are none."""

    animal: Sequence[int] | Numbers = ()
    visit: Sequence[int] | Numbers = ()
    zone: Sequence[int] | Numbers = ()
    lactation: Sequence[int] | Numbers = ()
    foot: Sequence[str] = ()
    claw: Sequence[str] = ()
    lesion: Sequence[str] = ()
    course: Sequence[str] = ()
    stage: Sequence[str] = ()


def columns_of(
    found: Listed,
    trims: Listed,
    staged: Listed,
    numbers: Mapping[int, str],
) -> Columns:
    """Make columns of lists.

    Args:
        found: The findings, in any order.
        trims: The animal, visit and foot of each functional or therapeutic trim.
        staged: The animal, visit, foot and stage of each digital dermatitis that was there, in order.
        numbers: Id of each animal to its management number.
    """
    many, more = len(found.animal), len(trims.animal)
    animal, visit = _numbered(found.animal, trims.animal), _numbered(found.visit, trims.visit)
    blank = [""] * more
    lesions, courses = worded(found.lesion, blank), worded(found.course, blank)
    is_clean = np.array([name == NO_LESION for name in lesions.names] + [True])
    is_healed = np.array([name == "healed" for name in courses.names] + [False])
    with_finding = np.zeros(len(animal.names), dtype=bool)
    with_finding[animal.at[:many]] = True
    return Columns(
        animal=animal,
        visit=visit,
        foot=worded(found.foot, trims.foot),
        claw=worded(found.claw, blank),
        zone=_numbered(found.zone, [NONE] * more),
        lactation=_numbered(found.lactation, _of_the_day(found.lactation, animal, visit)),
        lesion=lesions,
        there=~(is_clean[lesions.at] | is_healed[courses.at]),
        staged=Staged(
            animal=_numbered(staged.animal),
            visit=_numbered(staged.visit),
            foot=worded(staged.foot),
            stage=worded(staged.stage),
        ),
        numbers={
            animal.names[at]: numbers[animal.names[at]] for at in np.flatnonzero(with_finding)
        },
    )


def _of_the_day(lactation: Sequence[int] | Numbers, animal: Coded, visit: Coded) -> Numbers:
    """The lactation of each trim: that of the animal's findings of the day, where there are any."""
    many = len(lactation)
    days = animal.at * max(1, len(visit.names)) + visit.at
    if not many or many == len(days):
        return np.full(len(days) - many, NONE)
    # Of several findings of a day the last counts: the first, told backwards.
    known, last = np.unique(days[:many][::-1], return_index=True)
    at = np.minimum(np.searchsorted(known, days[many:]), len(known) - 1)
    given = np.asarray(lactation, dtype=np.int64)[::-1][last][at]
    return np.where(known[at] == days[many:], given, NONE)


def columns_of_rows(findings: Sequence[FindingRow], actions: Sequence[ActionRow]) -> Columns:
    """The same from rows, in the order of their visits."""
    trims = [row for row in actions if row.kind in TRIM_KINDS]
    staged = [row for row in findings if row.lesion == STAGED and row.is_lesion]
    return columns_of(
        Listed(
            animal=[row.animal_id for row in findings],
            visit=[row.visit_id for row in findings],
            zone=[NONE if row.zone is None else row.zone for row in findings],
            lactation=[NONE if row.lactation is None else row.lactation for row in findings],
            foot=[row.foot or "" for row in findings],
            claw=[row.claw or "" for row in findings],
            lesion=[row.lesion for row in findings],
            course=[row.course or "" for row in findings],
        ),
        Listed(
            animal=[row.animal_id for row in trims],
            visit=[row.visit_id for row in trims],
            foot=[row.foot or "" for row in trims],
        ),
        Listed(
            animal=[row.animal_id for row in staged],
            visit=[row.visit_id for row in staged],
            foot=[row.foot or "" for row in staged],
            stage=[row.stage or "" for row in staged],
        ),
        {row.animal_id: row.animal for row in findings},
    )


def worded(texts: Sequence[str], more: Sequence[str] = ()) -> Coded:
    """Code texts in the order they come; an empty one is none."""
    places = _Places({"": NONE})
    count = len(texts) + len(more)
    at = np.fromiter(map(places.__getitem__, chain(texts, more)), dtype=np.int64, count=count)
    del places[""]
    return Coded(at=at, names=tuple(places))


class _Places(dict[str, int]):
    """Gives each new text the next place, in the one pass that also asks for the old ones."""

    def __missing__(self, text: str) -> int:
        self[text] = at = len(self) - 1
        return at


def _numbered(values: Sequence[int] | Numbers, more: Sequence[int] | Numbers = ()) -> Coded:
    """Code numbers in their order; -1 is none."""
    both = np.concatenate([np.asarray(one, dtype=np.int64) for one in (values, more)])
    low, high = (int(both.min()), int(both.max())) if len(both) else (0, 0)
    if high - low > FLAGS_MAX:
        names, at = np.unique(both, return_inverse=True)
    else:  # keys lie close together: flags need no sorting
        there = np.zeros(high - low + 1, dtype=bool)
        there[both - low] = True
        names = np.flatnonzero(there) + low
        at = (np.cumsum(there) - 1)[both - low]
    if len(names) and names[0] == NONE:
        names, at = names[1:], at - 1
    return Coded(at=at, names=tuple(names.tolist()))
