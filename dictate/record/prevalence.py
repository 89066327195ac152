"""How common each lesion is, with what it was counted out of.

The denominator is what was looked at. An animal was looked at when a finding (a lesion or
`no lesion`) or a trim was confirmed for it; a foot, when the finding or the trim named that foot.
`No lesion` said without a foot counts for the animal and for no single foot: which feet were lifted
was not said. An animal counts once, however often it came in the period.

Visits where the whole herd was trimmed and visits where animals were chosen are never counted
together: chosen animals are the lame ones, so their figures are higher (Solano et al. 2016).
"""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from dictate.record.intervals import percent, wilson
from dictate.record.rows import ActionRow, FindingRow, VisitRow, natural

ANY_LESION = "any lesion"
TRIM_KINDS = frozenset({"functional trim", "therapeutic trim"})


class Look(NamedTuple):
    """An animal, and perhaps a foot of it, that was looked at on a visit."""

    animal_id: int
    visit_id: int
    on: date
    foot: str | None
    lactation: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Prevalence:
    """One figure: so many of so many, with its 95 % Wilson interval."""

    lesion: str
    group: str
    """What the row is about: "" for the herd, else the foot, claw, zone, lactation or period."""
    unit: str
    """What was counted: animals or feet."""
    count: int
    out_of: int

    @property
    def percent(self) -> str:
        return percent(self.count, self.out_of)

    @property
    def interval(self) -> tuple[float, float]:
        """Ends from 0 to 1."""
        return wilson(self.count, self.out_of)


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """How often one value stands among all values that are known."""

    value: Hashable
    count: int
    out_of: int
    missing: int = 0
    """Values not known; they are in no percentage."""

    @property
    def percent(self) -> str:
        return percent(self.count, self.out_of)


@dataclass(frozen=True, slots=True, kw_only=True)
class Grouping:
    """One way to break the figures down."""

    unit: str
    of: Callable[[FindingRow], str | None]
    """Group of a finding; None leaves it out."""
    seen_in: Callable[[Look], Iterable[str]]
    """Groups whose denominator a row adds to."""
    one: Callable[[Look | FindingRow], Hashable]
    """What counts once."""


def _foot(row: Look) -> Iterable[str]:
    return (row.foot,) if row.foot else ()


def _claws(row: Look) -> Iterable[str]:
    return (f"{row.foot} outer", f"{row.foot} inner") if row.foot else ()


_ZONES = tuple(f"zone {number}" for number in range(13))


def _lactation(row: Look | FindingRow) -> str:
    return "lactation not known" if row.lactation is None else f"lactation {row.lactation}"


GROUPINGS: dict[str, Grouping] = {
    "herd": Grouping(
        unit="animals", of=lambda _: "", seen_in=lambda _: ("",), one=lambda r: r.animal_id
    ),
    "foot": Grouping(unit="feet", of=lambda r: r.foot, seen_in=_foot, one=lambda r: r.animal_id),
    "claw": Grouping(
        unit="feet",
        of=lambda r: f"{r.foot} {r.claw}" if r.foot and r.claw else None,
        seen_in=_claws,
        one=lambda r: r.animal_id,
    ),
    "zone": Grouping(
        unit="feet",
        of=lambda r: f"zone {r.zone}" if r.foot and r.zone is not None else None,
        seen_in=lambda r: _ZONES if r.foot else (),
        one=lambda r: (r.animal_id, r.foot),
    ),
    "lactation": Grouping(
        unit="animals", of=_lactation, seen_in=lambda r: (_lactation(r),), one=lambda r: r.animal_id
    ),
    "year": Grouping(
        unit="animals",
        of=lambda r: str(r.on.year),
        seen_in=lambda r: (str(r.on.year),),
        one=lambda r: r.animal_id,
    ),
    "visit": Grouping(
        unit="animals",
        of=lambda r: f"{r.on.isoformat()} #{r.visit_id}",
        seen_in=lambda r: (f"{r.on.isoformat()} #{r.visit_id}",),
        one=lambda r: r.animal_id,
    ),
}


def looked_at(findings: Sequence[FindingRow], actions: Iterable[ActionRow]) -> Iterator[Look]:
    """Yield what was looked at: by a finding, or by a trim without one."""
    lactations = {(row.animal_id, row.visit_id): row.lactation for row in findings}
    for row in findings:
        yield Look(row.animal_id, row.visit_id, row.on, row.foot, row.lactation)
    for action in actions:
        if action.kind in TRIM_KINDS:
            lactation = lactations.get((action.animal_id, action.visit_id))
            yield Look(action.animal_id, action.visit_id, action.on, action.foot, lactation)


def prevalence(
    findings: Sequence[FindingRow],
    actions: Sequence[ActionRow] = (),
    *,
    by: str = "herd",
    looks: Sequence[Look] | None = None,
) -> tuple[Prevalence, ...]:
    """Count every lesion by one of GROUPINGS, the commonest first within each group.

    The rows must come from visits of one kind (see `by_trim`); `any lesion` leads each group.
    `looks` saves working out what was looked at again for each grouping.
    """
    grouping = GROUPINGS[by]
    seen = _denominators(grouping, looked_at(findings, actions) if looks is None else looks)
    found: dict[tuple[str, str], set[Hashable]] = defaultdict(set)
    for finding in findings:
        if finding.is_lesion and (group := grouping.of(finding)) is not None:
            one = grouping.one(finding)
            found[group, finding.lesion].add(one)
            found[group, ANY_LESION].add(one)
    # A herd looked at and found clean is a result: 0 of n.
    for group in seen:
        found.setdefault((group, ANY_LESION), set())
    rows = [
        Prevalence(
            lesion=lesion, group=group, unit=grouping.unit, count=len(ones), out_of=seen[group]
        )
        for (group, lesion), ones in found.items()
    ]
    return tuple(
        sorted(rows, key=lambda r: (natural(r.group), r.lesion != ANY_LESION, -r.count, r.lesion))
    )


def _denominators(grouping: Grouping, looks: Iterable[Look]) -> dict[str, int]:
    """How many were looked at in each group."""
    seen: dict[tuple[str, ...], set[Hashable]] = defaultdict(set)
    for look in looks:
        seen[tuple(grouping.seen_in(look))].add(grouping.one(look))
    # Groups that share their denominator (two claws of a foot, all zones) are filled together.
    groups: dict[str, set[Hashable]] = {}
    for names, ones in seen.items():
        for name in names:
            groups[name] = groups[name] | ones if name in groups else ones
    return {name: len(ones) for name, ones in groups.items()}


def shares(values: Iterable[Hashable | None]) -> tuple[Share, ...]:
    """Count values, the commonest first; None is missing and in no denominator."""
    counts: dict[Hashable, int] = defaultdict(int)
    missing = 0
    for value in values:
        if value is None:
            missing += 1
        else:
            counts[value] += 1
    out_of = sum(counts.values())
    return tuple(
        Share(value=value, count=count, out_of=out_of, missing=missing)
        for value, count in sorted(counts.items(), key=lambda item: (-item[1], str(item[0])))
    )


def by_trim(visits: Iterable[VisitRow]) -> dict[str, tuple[VisitRow, ...]]:
    """Part visits into whole-herd, partial and not stated; figures of these are kept apart."""
    parts: dict[str, list[VisitRow]] = {"whole herd": [], "chosen animals": [], "not stated": []}
    names = {True: "whole herd", False: "chosen animals", None: "not stated"}
    for visit in visits:
        parts[names[visit.whole_herd]].append(visit)
    return {name: tuple(part) for name, part in parts.items() if part}
