"""Many findings as columns of numbers: the same counts as from rows, for twenty years of a large herd.

`prevalence`, `own_last` and `stages` say what is counted and are what this must agree with; a test
holds the two together. Here each of their sets becomes a table of flags, or sorted numbers where such
a table would be too large.
"""

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain
from typing import Any

import numpy as np
from numpy.typing import NDArray

from dictate.entry.terms import NO_LESION
from dictate.record.own_last import OwnLast
from dictate.record.prevalence import ANY_LESION, GROUPINGS, Prevalence
from dictate.record.rows import VisitRow, natural

Numbers = NDArray[np.int64]
_FLAGS_MAX = 20_000_000
_ZONES = 13
_NONE = -1
_CLAWS = ("outer", "inner")
STAGED = "digital dermatitis"
"""The one lesion that has stages."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Coded:
    """A column of values as their places in a list; -1 for none."""

    at: Numbers
    names: tuple[Any, ...]

    def where(self, mask: NDArray[np.bool_]) -> "Coded":
        return Coded(at=self.at[mask], names=self.names)


def coded(values: Sequence[Hashable | None]) -> Coded:
    """Code values in the order they come."""
    names = tuple(name for name in dict.fromkeys(values) if name is not None)
    places: dict[Hashable | None, int] = {name: at for at, name in enumerate(names)} | {None: _NONE}
    at = np.fromiter(map(places.__getitem__, values), dtype=np.int64, count=len(values))
    return Coded(at=at, names=names)


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
    trimmed = [known.get(pair, _NONE) for pair in zip(animal, visit, strict=True)]
    none, blank = [_NONE] * len(trims), [""] * len(trims)
    lesions, courses = _worded(found.lesion, blank), _worded(found.course, blank)
    is_clean = np.array([name == NO_LESION for name in lesions.names] + [True])
    is_healed = np.array([name == "healed" for name in courses.names] + [False])
    return Columns(
        animal=_numbered(found.animal, animal),
        visit=_numbered(found.visit, visit),
        foot=_worded(found.foot, [foot or "" for foot in feet]),
        claw=_worded(found.claw, blank),
        zone=_numbered(found.zone, none),
        lactation=_numbered(found.lactation, trimmed),
        lesion=lesions,
        there=~(is_clean[lesions.at] | is_healed[courses.at]),
        staged=tuple(staged),
        numbers=numbers,
    )


def _worded(texts: Sequence[str], more: Sequence[str]) -> Coded:
    """Code texts in the order they come; an empty one is none."""
    names = tuple(name for name in dict.fromkeys(chain(texts, more)) if name)
    places = {name: at for at, name in enumerate(names)} | {"": _NONE}
    count = len(texts) + len(more)
    at = np.fromiter(map(places.__getitem__, chain(texts, more)), dtype=np.int64, count=count)
    return Coded(at=at, names=names)


def _numbered(values: Sequence[int] | Numbers, more: Sequence[int]) -> Coded:
    """Code numbers in their order; -1 is none."""
    both = np.concatenate([np.asarray(one, dtype=np.int64) for one in (values, more)])
    names, at = np.unique(both, return_inverse=True)
    if len(names) and names[0] == _NONE:
        names, at = names[1:], at - 1
    return Coded(at=at, names=tuple(names.tolist()))


def prevalence(columns: Columns, visits: Sequence[VisitRow], *, by: str) -> tuple[Prevalence, ...]:
    """As `prevalence.prevalence` counts it."""
    groups, names, seen_in = _groups(columns, visits, by)
    ones = columns.animal_foot if by == "zone" else columns.animal.at
    lesions = columns.lesion.names
    counted = columns.there & (groups >= 0)
    every = _distinct(groups[counted], ones[counted], len(names))
    each = _distinct(
        groups[counted] * max(1, len(lesions)) + columns.lesion.at[counted],
        ones[counted],
        len(names) * max(1, len(lesions)),
    )
    looks, shared = seen_in
    looked = looks >= 0
    out_of = _distinct(looks[looked], ones[looked], int(looks.max(initial=-1)) + 1)
    rows = []
    for at, name in enumerate(names):
        look = shared(at)
        if look >= len(out_of) or not out_of[look]:
            continue
        unit = GROUPINGS[by].unit
        seen = int(out_of[look])
        rows.append(Prevalence(lesion=ANY_LESION, group=name, unit=unit, count=int(every[at]), out_of=seen))  # fmt: skip
        for lesion, count in enumerate(each[at * len(lesions) : (at + 1) * len(lesions)]):
            if count:
                rows.append(Prevalence(lesion=lesions[lesion], group=name, unit=unit, count=int(count), out_of=seen))  # fmt: skip
    return tuple(
        sorted(rows, key=lambda r: (natural(r.group), r.lesion != ANY_LESION, -r.count, r.lesion))
    )


def _groups(
    columns: Columns, visits: Sequence[VisitRow], by: str
) -> tuple[Numbers, list[str], tuple[Numbers, Callable[[int], int]]]:
    """Say what is counted where.

    Group of each element as a finding, names of the groups, group of each as a look, and which
    of those a group is counted out of.
    """
    feet = columns.foot.names
    if by == "herd":
        zeros = np.zeros(len(columns.there), dtype=np.int64)
        return zeros, [""], (zeros, lambda at: at)
    if by == "foot":
        return columns.foot.at, list(feet), (columns.foot.at, lambda at: at)
    if by == "claw":
        known = np.array([_CLAWS.index(name) if name in _CLAWS else _NONE for name in columns.claw.names] + [_NONE])  # fmt: skip
        claw = known[columns.claw.at]
        group = np.where((columns.foot.at >= 0) & (claw >= 0), columns.foot.at * 2 + claw, _NONE)
        return group, [f"{foot} {claw}" for foot in feet for claw in _CLAWS], (columns.foot.at, lambda at: at // 2)  # fmt: skip
    if by == "zone":
        number = np.array([*columns.zone.names, _NONE], dtype=np.int64)[columns.zone.at]
        group = np.where(columns.foot.at >= 0, number, _NONE)
        look = np.where(columns.foot.at >= 0, 0, _NONE)
        return group, [f"zone {zone}" for zone in range(_ZONES)], (look, lambda _: 0)
    if by == "lactation":
        unknown = len(columns.lactation.names)
        group = np.where(columns.lactation.at >= 0, columns.lactation.at, unknown)
        names = [f"lactation {name}" for name in columns.lactation.names]
        return group, [*names, "lactation not known"], (group, lambda at: at)
    told = {visit.id: str(visit.on.year) if by == "year" else f"{visit.on} #{visit.id}" for visit in visits}  # fmt: skip
    labels = coded([told.get(name) for name in columns.visit.names])
    group = labels.at[columns.visit.at] if len(columns.visit.at) else columns.visit.at
    return group, list(labels.names), (group, lambda at: at)


def _distinct(groups: Numbers, ones: Numbers, count: int) -> Numbers:
    """How many different ones each of so many groups has."""
    if not len(groups):
        return np.zeros(count, dtype=np.int64)
    low = int(ones.min())
    width = int(ones.max()) - low + 1
    keys = groups * width + (ones - low)
    if count * width <= _FLAGS_MAX:
        flags = np.zeros(count * width, dtype=bool)
        flags[keys] = True
        counted: Numbers = flags.reshape(count, width).sum(axis=1)
        return counted
    return np.bincount(np.unique(keys) // width, minlength=count)


def own_last(columns: Columns, visits: Sequence[VisitRow]) -> OwnLast | None:
    """As `own_last.against_own_last` compares."""
    if not visits:
        return None
    inorder = sorted(visits, key=lambda visit: (visit.on, visit.id))
    turn_of = {visit.id: at for at, visit in enumerate(inorder)}
    turns = np.array([turn_of.get(name, _NONE) for name in columns.visit.names] + [_NONE])
    turn = turns[columns.visit.at]
    last, animals = len(inorder) - 1, columns.animal
    before = np.full(len(animals.names), _NONE)
    earlier = (turn >= 0) & (turn < last)
    np.maximum.at(before, animals.at[earlier], turn[earlier])
    ill_now, ill_before, now = (np.zeros(len(animals.names), dtype=bool) for _ in range(3))
    now[animals.at[turn == last]] = True
    ill_now[animals.at[columns.there & (turn == last)]] = True
    ill_before[animals.at[columns.there & earlier & (turn == before[animals.at])]] = True
    groups: dict[str, list[str]] = {
        name: [] for name in ("began", "still", "gone", "clean", "first")
    }
    kinds = {(True, False): "began", (True, True): "still", (False, True): "gone"}
    for at in np.flatnonzero(now):
        if (number := columns.numbers.get(animals.names[at])) is None:
            continue
        kind = kinds.get((bool(ill_now[at]), bool(ill_before[at])), "clean")
        groups["first" if before[at] == _NONE else kind].append(number)
    return OwnLast(
        on=inorder[-1].on,
        **{kind: tuple(sorted(numbers, key=natural)) for kind, numbers in groups.items()},
    )
