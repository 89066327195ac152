"""The counts of `dictate.record` once more, row by row as their definitions read: what columns must give."""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from dictate.record.prevalence import ANY_LESION, Prevalence
from dictate.record.rows import TRIM_KINDS, ActionRow, FindingRow, VisitRow, natural
from dictate.record.trend import OwnLast


class Look(NamedTuple):
    """An animal, and perhaps a foot of it, that was looked at on a visit."""

    animal_id: int
    visit_id: int
    on: date
    foot: str | None
    lactation: int | None


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
    "month": Grouping(
        unit="animals",
        of=lambda r: f"{r.on.year:04}-{r.on.month:02}",
        seen_in=lambda r: (f"{r.on.year:04}-{r.on.month:02}",),
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
    findings: Sequence[FindingRow], actions: Sequence[ActionRow], *, by: str
) -> tuple[Prevalence, ...]:
    grouping = GROUPINGS[by]
    seen = _denominators(grouping, looked_at(findings, actions))
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


def own_last(
    visits: Sequence[VisitRow], findings: Sequence[FindingRow], actions: Sequence[ActionRow]
) -> OwnLast | None:
    if not visits:
        return None
    last = max(visits, key=lambda visit: (visit.on, visit.id))
    seen: dict[int, set[tuple[date, int]]] = defaultdict(set)
    for look in looked_at(findings, actions):
        seen[look.animal_id].add((look.on, look.visit_id))
    names: dict[int, str] = {}
    ill: set[tuple[int, int]] = set()
    for finding in findings:
        names[finding.animal_id] = finding.animal
        if finding.is_lesion:
            ill.add((finding.animal_id, finding.visit_id))
    groups: dict[str, list[str]] = defaultdict(list)
    for animal_id, days in seen.items():
        earlier = [visit for visit in days if visit < (last.on, last.id)]
        if (last.on, last.id) not in days or animal_id not in names:
            continue
        now = (animal_id, last.id) in ill
        if not earlier:
            groups["first"].append(names[animal_id])
            continue
        before = (animal_id, max(earlier)[1]) in ill
        kind = {(True, False): "began", (True, True): "still", (False, True): "gone"}
        groups[kind.get((now, before), "clean")].append(names[animal_id])
    return OwnLast(
        on=last.on,
        **{
            kind: tuple(sorted(groups[kind], key=natural))
            for kind in ("began", "still", "gone", "clean", "first")
        },
    )
