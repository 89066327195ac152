"""How common each lesion is, with what it was counted out of.

The denominator is what was looked at. An animal was looked at when a finding (a lesion or
`no lesion`) or a trim was confirmed for it; a foot, when the finding or the trim named that foot.
`No lesion` said without a foot counts for the animal and for no single foot: which feet were lifted
was not said. An animal counts once, however often it came in the period.

Visits where the whole herd was trimmed and visits where animals were chosen are never counted
together: chosen animals are the lame ones, so their figures are higher (Solano et al. 2016).
"""

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from math import sqrt
from statistics import NormalDist
from typing import Any

import numpy as np

from dictate.entry.terms import CLAWS, STAGES
from dictate.record.columns import FLAGS_MAX, NONE, Columns, Numbers, worded
from dictate.record.rows import VisitRow, natural
from dictate.texts import noted


def wilson(count: int, out_of: int) -> tuple[float, float]:
    """Return the 95 % Wilson score interval of count/out_of, both ends from 0 to 1."""
    if not 0 <= count <= out_of or out_of == 0:
        raise ValueError(f"{count} out of {out_of} is not a proportion")
    z = NormalDist().inv_cdf(0.975)
    share = count / out_of
    scale = 1 + z * z / out_of
    centre = (share + z * z / (2 * out_of)) / scale
    half = z * sqrt(share * (1 - share) / out_of + z * z / (4 * out_of * out_of)) / scale
    # The ends touch 0 and 1 exactly there, which rounding alone would miss.
    low = 0.0 if count == 0 else max(0.0, centre - half)
    high = 1.0 if count == out_of else min(1.0, centre + half)
    return low, high


def percent(count: int, out_of: int, digits: int = 1) -> str:
    """Return 100·count/out_of with that many digits, halves rounded up as printed tables do."""
    if out_of == 0:
        return "–"
    exact = Decimal(100 * count) / Decimal(out_of)
    return str(exact.quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_UP))


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """So many of so many."""

    count: int
    out_of: int

    @property
    def percent(self) -> str:
        return percent(self.count, self.out_of)

    @property
    def interval(self) -> tuple[float, float]:
        """The 95 % Wilson interval, its ends from 0 to 1."""
        return wilson(self.count, self.out_of)


ANY_LESION = noted("any lesion")
GROUPINGS = {
    "herd": "animals",
    "foot": "feet",
    "claw": "feet",
    "zone": "feet",
    "lactation": "animals",
    "year": "animals",
    "month": "animals",
    "visit": "animals",
}
"""Ways to break the figures down, and what is counted then: a zone counts each foot once, the others
each animal."""
_ZONES = 13


@dataclass(frozen=True, slots=True, kw_only=True)
class Prevalence(Counted):
    """How many had a lesion."""

    lesion: str
    group: str
    """What the row is about: "" for the herd, else the foot, claw, zone, lactation or period."""
    unit: str
    """What was counted: animals or feet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Share(Counted):
    """How often one value stands among all values that are known."""

    value: Hashable
    missing: int = 0
    """Values not known; they are in no percentage."""


def prevalence(columns: Columns, visits: Sequence[VisitRow], *, by: str) -> tuple[Prevalence, ...]:
    """Count every lesion by one of GROUPINGS, the commonest first within each group.

    The columns must be of visits of one kind (see `by_trim`); `any lesion` leads each group, also where
    none was found: a herd looked at and found clean is a result.
    """
    groups, names, seen_in = _groups(columns, visits, by)
    ones = columns.animal_foot if by == "zone" else columns.animal.at
    lesions = columns.lesion.names
    at_lesions = np.flatnonzero(columns.there & (groups >= 0))
    group, one = groups[at_lesions], ones[at_lesions]
    every = _distinct(group, one, len(names))
    each = _distinct(
        group * max(1, len(lesions)) + columns.lesion.at[at_lesions],
        one,
        len(names) * max(1, len(lesions)),
    )
    looks, shared = seen_in
    if looks.min(initial=0) < 0:
        looked = looks >= 0
        looks, ones = looks[looked], ones[looked]
    out_of = _distinct(looks, ones, int(looks.max(initial=-1)) + 1)
    rows = []
    order = {name: natural(name) for name in names}
    for at, name in enumerate(names):
        look = shared(at)
        if look >= len(out_of) or not out_of[look]:
            continue
        counts = each[at * len(lesions) : (at + 1) * len(lesions)].tolist()
        found = [(ANY_LESION, int(every[at])), *zip(lesions, counts, strict=True)]
        rows += [
            Prevalence(
                lesion=lesion, group=name, unit=GROUPINGS[by], count=count, out_of=int(out_of[look])
            )
            for lesion, count in found
            if count or lesion == ANY_LESION
        ]
    return tuple(
        sorted(rows, key=lambda r: (order[r.group], r.lesion != ANY_LESION, -r.count, r.lesion))
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
        known = np.array([CLAWS.index(name) if name in CLAWS else NONE for name in columns.claw.names] + [NONE])  # fmt: skip
        claw = known[columns.claw.at]
        group = np.where((columns.foot.at >= 0) & (claw >= 0), columns.foot.at * 2 + claw, NONE)
        return group, [f"{foot} {claw}" for foot in feet for claw in CLAWS], (columns.foot.at, lambda at: at // 2)  # fmt: skip
    if by == "zone":
        number = np.array([*columns.zone.names, NONE], dtype=np.int64)[columns.zone.at]
        group = np.where(columns.foot.at >= 0, number, NONE)
        look = np.where(columns.foot.at >= 0, 0, NONE)
        return group, [f"zone {zone}" for zone in range(_ZONES)], (look, lambda _: 0)
    if by == "lactation":
        unknown = len(columns.lactation.names)
        group = np.where(columns.lactation.at >= 0, columns.lactation.at, unknown)
        names = [f"lactation {name}" for name in columns.lactation.names]
        return group, [*names, "lactation not known"], (group, lambda at: at)
    written = {"year": "{0:%Y}", "month": "{0:%Y-%m}", "visit": "{0} #{1}"}[by]
    told = {visit.id: written.format(visit.on, visit.id) for visit in visits}
    labels = worded([told.get(name, "") for name in columns.visit.names])
    group = labels.at[columns.visit.at] if len(columns.visit.at) else columns.visit.at
    return group, list(labels.names), (group, lambda at: at)


def _distinct(groups: Numbers, ones: Numbers, count: int) -> Numbers:
    """How many different ones each of so many groups has."""
    if not len(groups):
        return np.zeros(count, dtype=np.int64)
    low = int(ones.min())
    width = int(ones.max()) - low + 1
    keys = groups * width + (ones - low)
    if count * width <= FLAGS_MAX:
        flags = np.zeros(count * width, dtype=bool)
        flags[keys] = True
        counted: Numbers = flags.reshape(count, width).sum(axis=1)
        return counted
    return np.bincount(np.unique(keys) // width, minlength=count)


def shares(counts: Mapping[Any, int]) -> tuple[Share, ...]:
    """How often each value stands among all, the commonest first; None is missing and in no denominator."""
    known = {value: count for value, count in counts.items() if value is not None}
    out_of, missing = sum(known.values()), counts.get(None, 0)
    return tuple(
        Share(value=value, count=count, out_of=out_of, missing=missing)
        for value, count in sorted(known.items(), key=lambda item: (-item[1], str(item[0])))
    )


def stage_distribution(columns: Columns) -> tuple[Share, ...]:
    """Return every stage, zeros included, as a share of the staged feet.

    One foot at one visit counts once, with the stage said last; feet with digital dermatitis and no
    stage said are `missing`, in no percentage.
    """
    of = columns.staged
    feet = of.animal.at * max(1, len(of.visit.names)) + of.visit.at
    feet = feet * (len(of.foot.names) + 1) + of.foot.at  # one more: a foot may not have been said
    said = np.flatnonzero(of.stage.at >= 0)[::-1]
    known, last = np.unique(feet[said], return_index=True)
    counts = np.bincount(of.stage.at[said][last], minlength=len(of.stage.names)).tolist()
    of_stage = dict(zip(of.stage.names, counts, strict=True))
    missing = len(np.unique(feet)) - len(known)
    return tuple(
        Share(value=stage, count=of_stage.get(stage, 0), out_of=len(known), missing=missing)
        for stage in STAGES
    )


def by_trim(visits: Iterable[VisitRow]) -> dict[str, tuple[VisitRow, ...]]:
    """Part visits into whole-herd, partial and not stated; figures of these are kept apart."""
    parts: dict[str, list[VisitRow]] = {"whole herd": [], "chosen animals": [], "not stated": []}
    names = {True: "whole herd", False: "chosen animals", None: "not stated"}
    for visit in visits:
        parts[names[visit.whole_herd]].append(visit)
    return {name: tuple(part) for name, part in parts.items() if part}
