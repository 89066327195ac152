"""What was looked at, as columns of numbers: so twenty years of a large herd are counted in half a second."""

from collections.abc import Mapping, Sequence
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
    staged: tuple[tuple[int, int, str | None, str | None], ...]
    """Animal, visit, foot and stage of each digital dermatitis that was there, in order."""
    numbers: Mapping[int, str]
    """Id of each animal with a finding to its management number."""

    def of_visits(self, visits: Sequence[VisitRow]) -> "Columns":
        """Only what was seen at these."""
        ids = {visit.id for visit in visits}
        chosen = np.array([name in ids for name in self.visit.names], dtype=bool)
        mask = chosen[self.visit.at] if len(chosen) else np.zeros(0, dtype=bool)
        coded_ones = "animal visit foot claw zone lactation lesion".split()
        return Columns(
            **{name: getattr(self, name).where(mask) for name in coded_ones},
            there=self.there[mask],
            staged=tuple(one for one in self.staged if one[1] in ids),
            numbers=self.numbers,
        )

    @cached_property
    def animal_foot(self) -> Numbers:
        return self.animal.at * max(1, len(self.foot.names)) + self.foot.at


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """Findings as lists that go together; -1 and an empty text are none."""

    animal: Sequence[int] | Numbers = ()
    visit: Sequence[int] | Numbers = ()
    zone: Sequence[int] | Numbers = ()
    lactation: Sequence[int] | Numbers = ()
    foot: Sequence[str] = ()
    claw: Sequence[str] = ()
    lesion: Sequence[str] = ()
    course: Sequence[str] = ()


def columns_of(
    found: Listed,
    trims: Sequence[tuple[int, int, str | None]],
    staged: Sequence[tuple[int, int, str | None, str | None]],
    numbers: Mapping[int, str],
) -> Columns:
    """Make columns of lists.

    Args:
        found: The findings, in any order.
        trims: animal, visit, foot of each functional or therapeutic trim.
        staged: animal, visit, foot, stage of each digital dermatitis that was there, in order.
        numbers: Id of each animal with a finding to its management number.
    """
    animal, visit, feet = tuple(zip(*trims, strict=True)) or ((),) * 3
    known: dict[tuple[int, int], int] = {}
    if trims:
        known = dict(zip(zip(found.animal, found.visit, strict=True), found.lactation, strict=True))
    trimmed = [known.get(pair, NONE) for pair in zip(animal, visit, strict=True)]
    none, blank = [NONE] * len(trims), [""] * len(trims)
    lesions, courses = worded(found.lesion, blank), worded(found.course, blank)
    is_clean = np.array([name == NO_LESION for name in lesions.names] + [True])
    is_healed = np.array([name == "healed" for name in courses.names] + [False])
    return Columns(
        animal=_numbered(found.animal, animal),
        visit=_numbered(found.visit, visit),
        foot=worded(found.foot, [foot or "" for foot in feet]),
        claw=worded(found.claw, blank),
        zone=_numbered(found.zone, none),
        lactation=_numbered(found.lactation, trimmed),
        lesion=lesions,
        there=~(is_clean[lesions.at] | is_healed[courses.at]),
        staged=tuple(staged),
        numbers=numbers,
    )


def columns_of_rows(findings: Sequence[FindingRow], actions: Sequence[ActionRow]) -> Columns:
    """The same from rows, in the order of their visits."""
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
        [(row.animal_id, row.visit_id, row.foot) for row in actions if row.kind in TRIM_KINDS],
        [
            (row.animal_id, row.visit_id, row.foot, row.stage)
            for row in findings
            if row.lesion == STAGED and row.is_lesion
        ],
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


def _numbered(values: Sequence[int] | Numbers, more: Sequence[int]) -> Coded:
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
